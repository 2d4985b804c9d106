/** Look: the photograph on a canvas; base metal, card and weld are drawn on it with a finger. The number fields say the same. */

const form = /** @type {HTMLFormElement | null} */ (document.querySelector("form.look-form"));
const canvas = /** @type {HTMLCanvasElement} */ (document.getElementById("canvas"));
const said = /** @type {HTMLElement} */ (document.getElementById("tapped"));
const NAMES = ["base", "card", "weld"];
const MOST = 1600;
const DASHES = { base: [], card: [14, 8], weld: [3, 6] };
let picture = /** @type {CanvasImageSource | undefined} */ (undefined);
let [scale, active] = [1, "base"];
/** @type {{x: number, y: number} | undefined} */
let from;

/** @param {string} name @returns {HTMLInputElement} */
const field = (name) => /** @type {HTMLInputElement} */ (form?.elements.namedItem(name));

/** @param {string} name @returns {number[] | undefined} */
function box(name) {
  const parts = field(name).value.split(/[,;]/).map(Number);
  return parts.length === 4 && parts.every(Number.isFinite) && field(name).value.trim() ? parts : undefined;
}

function draw() {
  const pen = canvas.getContext("2d");
  if (!pen || !picture) return;
  pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
  for (const name of NAMES) {
    const found = box(name);
    if (!found) continue;
    const [x, y, w, h] = found.map((part) => part / scale);
    for (const [colour, wide] of /** @type {[string, number][]} */ ([["#000", 7], ["#fff", 3]])) {
      pen.strokeStyle = colour;
      pen.lineWidth = wide * canvas.width / 900 + 1;
      pen.setLineDash(colour === "#fff" ? DASHES[/** @type {"base"} */ (name)] : []);
      pen.strokeRect(x, y, w, h);
    }
    const letter = document.querySelector(`[data-box=${name}] legend`)?.textContent?.trim() ?? name;
    pen.font = `600 ${Math.round(canvas.width / 34)}px system-ui, sans-serif`;
    pen.lineWidth = 4;
    pen.setLineDash([]);
    pen.strokeStyle = "#000";
    pen.strokeText(letter, x + 6, y + canvas.width / 30);
    pen.fillStyle = "#fff";
    pen.fillText(letter, x + 6, y + canvas.width / 30);
  }
}

/** @param {CanvasImageSource} image @param {number} width @param {number} height @param {number} whole */
function show(image, width, height, whole) {
  const shrink = Math.min(1, MOST / Math.max(width, height));
  picture = image;
  canvas.width = Math.round(width * shrink);
  canvas.height = Math.round(height * shrink);
  scale = whole / canvas.width;
  canvas.hidden = false;
  document.querySelectorAll("[data-tap]").forEach((button) => { /** @type {HTMLElement} */ (button).hidden = false; });
  choose(NAMES.find((name) => !box(name)) ?? "weld");
  draw();
}

/** @param {string} name */
function choose(name) {
  active = name;
  for (const button of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-tap]")))
    button.setAttribute("aria-pressed", String(button.dataset.tap === name));
  const legend = document.querySelector(`[data-box=${name}] legend`)?.textContent?.trim() ?? "";
  said.textContent = (form?.dataset.tapNow ?? "").replace("{name}", legend);
}

/** @param {PointerEvent} event */
function place(event) {
  const at = canvas.getBoundingClientRect();
  const clamp = (/** @type {number} */ value) => Math.min(1, Math.max(0, value));
  return { x: clamp((event.clientX - at.left) / at.width) * canvas.width, y: clamp((event.clientY - at.top) / at.height) * canvas.height };
}

/** A drag draws a rectangle; a tap alone puts a small one there. @param {PointerEvent} event @param {boolean} done */
function stretch(event, done) {
  if (!from) return;
  const to = place(event);
  let [x, y, w, h] = [Math.min(from.x, to.x), Math.min(from.y, to.y), Math.abs(to.x - from.x), Math.abs(to.y - from.y)];
  const least = canvas.width / 60;
  if (done && Math.max(w, h) < least) {
    const side = canvas.width / 16;
    [x, y, w, h] = [Math.max(0, from.x - side / 2), Math.max(0, from.y - side / 2), side, side];
    w = Math.min(w, canvas.width - x);
    h = Math.min(h, canvas.height - y);
  }
  field(active).value = [x, y, Math.max(w, 1), Math.max(h, 1)].map((part) => Math.floor(part * scale)).join(",");
  draw();
}

if (form) {
  canvas.addEventListener("pointerdown", (event) => { from = place(event); canvas.setPointerCapture(event.pointerId); });
  canvas.addEventListener("pointermove", (event) => stretch(event, false));
  canvas.addEventListener("pointerup", (event) => {
    stretch(event, true);
    from = undefined;
    const next = NAMES.find((name) => !box(name));
    if (next) choose(next);
  });
  canvas.addEventListener("pointercancel", () => { from = undefined; });
  for (const button of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-tap]")))
    button.addEventListener("click", () => choose(button.dataset.tap ?? "base"));
  for (const name of NAMES) field(name).addEventListener("input", draw);
  const file = field("photo");
  file.addEventListener("change", () => void taken(file.files?.[0]));
  const drop = /** @type {HTMLElement} */ (document.getElementById("drop"));
  drop.addEventListener("dragover", (event) => event.preventDefault());
  drop.addEventListener("drop", (event) => {
    event.preventDefault();
    const dropped = event.dataTransfer?.files;
    if (!dropped?.length) return;
    file.files = dropped;
    void taken(dropped[0]);
  });
  const kept = form.dataset.preview;
  if (kept) {
    const image = new Image();
    image.onload = () => show(image, image.naturalWidth, image.naturalHeight, Number(form.dataset.width) || image.naturalWidth);
    image.src = kept;
  }
}

/** A new photograph; one that this browser cannot show is sent all the same and shown by the server. @param {File | undefined} chosen */
async function taken(chosen) {
  if (!chosen) return;
  const image = await createImageBitmap(chosen, { imageOrientation: "from-image" }).catch(() => undefined);
  if (!image) { canvas.hidden = true; return; }
  for (const name of NAMES) field(name).value = "";
  show(image, image.width, image.height, image.width);
}
