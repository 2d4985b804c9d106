/** Heat: the moments become one map that plays in time's own proportion. Without this script they stand in a row. */

const PLAYS_MS = 9000;
const box = document.getElementById("cooling-maps");

/** @param {HTMLElement} box */
function start(box) {
  const figures = /** @type {HTMLElement[]} */ ([...box.querySelectorAll("figure[data-seconds]")]);
  if (figures.length < 2) return;
  const times = figures.map((figure) => Number(figure.dataset.seconds));
  const last = times[times.length - 1];
  const calm = matchMedia("(prefers-reduced-motion: reduce)");
  const row = /** @type {HTMLElement} */ (box.querySelector(".row"));
  const button = document.createElement("button");
  const slider = document.createElement("input");
  const told = document.createElement("output");
  button.type = "button";
  Object.assign(slider, { type: "range", min: "0", max: String(last), step: "1", value: "0" });
  slider.setAttribute("aria-label", box.dataset.moment ?? "");
  const controls = document.createElement("div");
  controls.className = "controls";
  controls.append(button, slider, told);
  box.append(controls);
  box.classList.add("playing-ready");
  /** @type {number | undefined} */
  let timer;

  /** The map of the last moment not after it; the uprights in the curves stand at the very second. @param {number} seconds */
  function show(seconds) {
    const at = times.reduce((found, time, n) => (time <= seconds ? n : found), 0);
    figures.forEach((figure, n) => { figure.hidden = n !== at; });
    slider.value = String(seconds);
    told.textContent = `${Math.round(seconds)} s`;
    slider.setAttribute("aria-valuetext", (box.dataset.told ?? "").replace("{seconds}", String(Math.round(seconds))));
    for (const line of document.querySelectorAll("section .heat-course .moment")) mark(line, seconds);
  }

  function stop() {
    clearInterval(timer);
    timer = undefined;
    button.textContent = box.dataset.play ?? "";
  }

  /** Where motion is not wanted the moments are stepped through, slowly. */
  function play() {
    let seconds = Number(slider.value) >= last ? 0 : Number(slider.value);
    button.textContent = box.dataset.pause ?? "";
    show(seconds);
    const began = performance.now() - (seconds / last) * PLAYS_MS;
    timer = setInterval(() => {
      seconds = calm.matches
        ? times.find((time) => time > seconds) ?? last
        : Math.min(last, ((performance.now() - began) / PLAYS_MS) * last);
      show(Math.round(seconds));
      if (seconds >= last) stop();
    }, calm.matches ? 2500 : 80);
  }

  button.addEventListener("click", () => (timer === undefined ? play() : stop()));
  slider.addEventListener("input", () => { stop(); show(Number(slider.value)); });
  stop();
  show(0);
  // a narrow screen begins where the arc went off
  const wedge = figures[0].querySelector(".arc-off")?.getBoundingClientRect();
  if (wedge) row.scrollLeft += wedge.left - row.getBoundingClientRect().left - row.clientWidth / 2;
}

/** @param {Element} line @param {number} seconds */
function mark(line, seconds) {
  const { left, right, low, high } = /** @type {SVGElement} */ (line).dataset;
  if (line.closest("[data-whole]")) return;
  const share = (seconds - Number(low)) / (Number(high) - Number(low));
  line.setAttribute("visibility", share >= 0 && share <= 1 ? "visible" : "hidden");
  line.setAttribute("transform", `translate(${Number(left) + share * (Number(right) - Number(left))} 0)`);
}

if (box) start(box);
for (const name of ["run", "side"]) {
  const choice = /** @type {HTMLSelectElement | null} */ (document.getElementById(name));
  choice?.form?.classList.add("by-itself");
  choice?.addEventListener("change", () => choice.form?.requestSubmit());
}
