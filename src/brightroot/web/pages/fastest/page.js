/** Fastest way: the runs light up on the clock face in their order, and their rows with them. */

const face = document.getElementById("way-face");
const STEP_MS = 700;

/** @param {HTMLElement} box */
function start(box) {
  const runs = [...box.querySelectorAll("g.run")].sort((a, b) => number(a) - number(b));
  const rows = new Map([...document.querySelectorAll("tr[data-run]")].map((row) => [Number(/** @type {HTMLElement} */ (row).dataset.run), row]));
  if (runs.length < 2) return;
  const button = document.createElement("button");
  button.type = "button";
  box.append(button);
  /** @type {number | undefined} */
  let timer;
  let at = runs.length;

  function show() {
    runs.forEach((run, n) => { run.classList.toggle("later", n > at); run.classList.toggle("here", n === at); });
    for (const [n, row] of rows) row.classList.toggle("here", at < runs.length && n === number(runs[at]));
  }

  function stop() {
    clearInterval(timer);
    timer = undefined;
    button.textContent = box.dataset.play ?? "";
    at = runs.length;
    show();
  }

  button.addEventListener("click", () => {
    if (timer !== undefined) { stop(); return; }
    at = 0;
    button.textContent = box.dataset.pause ?? "";
    show();
    timer = setInterval(() => { at += 1; if (at >= runs.length) stop(); else show(); }, STEP_MS);
  });
  stop();
}

/** @param {Element} run */
function number(run) { return Number(/** @type {HTMLElement} */ (run).dataset.run); }

if (face) start(face);
const choice = /** @type {HTMLSelectElement | null} */ (document.getElementById("least"));
choice?.form?.classList.add("by-itself");
choice?.addEventListener("change", () => choice.form?.requestSubmit());
