/** Heat: the moments become one map with a slider and a play button. Without this script they stand one under another. */

const box = document.getElementById("cooling-maps");

/** @param {HTMLElement} box */
function start(box) {
  const figures = /** @type {HTMLElement[]} */ ([...box.querySelectorAll("figure[data-seconds]")]);
  if (figures.length < 2) return;
  const calm = matchMedia("(prefers-reduced-motion: reduce)");
  const button = document.createElement("button");
  const slider = document.createElement("input");
  const told = document.createElement("output");
  button.type = "button";
  slider.type = "range";
  slider.min = "0";
  slider.max = String(figures.length - 1);
  slider.step = "1";
  slider.setAttribute("aria-label", box.dataset.moment ?? "");
  const controls = document.createElement("div");
  controls.className = "controls";
  controls.append(button, slider, told);
  box.append(controls);
  box.classList.add("playing-ready");
  /** @type {number | undefined} */
  let timer;

  /** @param {number} at */
  function show(at) {
    figures.forEach((figure, n) => { figure.hidden = n !== at; });
    slider.value = String(at);
    told.textContent = `${Math.round(Number(figures[at].dataset.seconds))} s`;
    slider.setAttribute("aria-valuetext", told.textContent);
  }

  function stop() {
    if (timer !== undefined) clearInterval(timer);
    timer = undefined;
    button.textContent = box.dataset.play ?? "";
  }

  button.addEventListener("click", () => {
    if (timer !== undefined) return stop();
    if (Number(slider.value) === figures.length - 1) show(0);
    button.textContent = box.dataset.pause ?? "";
    timer = setInterval(() => {
      const next = Number(slider.value) + 1;
      if (next >= figures.length) return stop();
      show(next);
    }, calm.matches ? 2500 : 900);
  });
  slider.addEventListener("input", () => { stop(); show(Number(slider.value)); });
  stop();
  show(0);
}

if (box) start(box);
document.getElementById("run")?.addEventListener("change", (event) => {
  /** @type {HTMLSelectElement} */ (event.target).form?.requestSubmit();
});
