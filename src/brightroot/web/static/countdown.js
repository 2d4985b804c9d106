/**
 * Countdowns that survive a reload: they run from the server's clock to instants that the server gave, and never from
 * when a page happened to be opened.
 */

// what this device's clock is off by, learned when the page was made
const skew_s = Number(document.documentElement.dataset.now || 0) - Date.now() / 1000;

/** Seconds since 1970 on the server's clock. @returns {number} */
export function now() {
  return Date.now() / 1000 + skew_s;
}

/**
 * A time as it is shown large: few digits, the unit apart. Rounded up, so that it never says less than there is.
 * @param {number} seconds @returns {{digits: string, unit: string}}
 */
export function large(seconds) {
  const whole = Math.ceil(Math.max(0, seconds) - 1e-6);
  if (whole < 100) return { digits: String(whole), unit: "s" };
  if (whole < 600) return { digits: `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`, unit: "min" };
  if (whole < 7200) return { digits: String(Math.ceil(whole / 60)), unit: "min" };
  return { digits: (whole / 3600).toFixed(1), unit: "h" };
}

/** A time in a line of text. @param {number} seconds @returns {string} */
export function short(seconds) {
  const { digits, unit } = large(seconds);
  return `${digits}\u202f${unit}`;
}

/**
 * Where a countdown stands. Before the likely end it counts to that; between likely and late it says at most; after
 * the late end it is over.
 * @param {[number, number, number]} until @param {number} at
 * @returns {{stage: "early" | "counting" | "late" | "over", left: [number, number, number], seconds: number}}
 */
export function stand(until, at) {
  const left = /** @type {[number, number, number]} */ (until.map((end) => Math.max(0, end - at)));
  if (at >= until[2]) return { stage: "over", left, seconds: at - until[2] };
  if (at >= until[1]) return { stage: "late", left, seconds: left[2] };
  return { stage: at < until[0] ? "early" : "counting", left, seconds: left[1] };
}

/** Put digits and size class on a key number. @param {Element} box @param {string} digits @param {string} unit */
export function put(box, digits, unit) {
  const number = box.querySelector(".key-number") ?? box;
  const [shown, after] = [number.querySelector(".digits"), number.querySelector(".unit")];
  if (shown && shown.textContent !== digits) shown.textContent = digits;
  if (after && after.textContent !== unit) after.textContent = unit;
  const size = `key-number n${Math.min(5, digits.length)}`;
  if (number.className !== size) number.className = size;
  fit(/** @type {HTMLElement} */ (number));
}

/** As large as the style asks, and never wider than the page: fonts differ in the width of their digits. @param {HTMLElement} number */
function fit(number) {
  const key = `${number.className} ${innerWidth} ${number.querySelector(".digits")?.textContent?.length}`;
  if (number.dataset.fitted === key) return;
  number.dataset.fitted = key;
  number.style.removeProperty("font-size");
  const digits = /** @type {HTMLElement | null} */ (number.querySelector(".digits"));
  if (!digits || digits.offsetWidth <= number.clientWidth) return;
  number.style.fontSize = `${Math.floor((parseFloat(getComputedStyle(number).fontSize) * number.clientWidth) / digits.offsetWidth)}px`;
}

/**
 * One tick of a countdown on the page.
 * @param {HTMLElement} box @returns {"early" | "counting" | "late" | "over"}
 */
export function tick(box) {
  const until = /** @type {[number, number, number]} */ ((box.dataset.until ?? "").split(" ").map(Number));
  const at = now();
  const { stage, left, seconds } = stand(until, at);
  const { digits, unit } = large(seconds);
  const said = box.dataset;
  const after = stage === "over" ? said.over : stage === "late" ? said.most : "";
  put(box, digits, `${unit} ${after}`.trim());
  const ends = box.querySelector(".ends");
  const words =
    stage === "over"
      ? `${said.over} ${short(seconds)}`
      : `${said.early} ${short(left[0])} · ${said.likely} ${short(left[1])} · ${said.late} ${short(left[2])}`;
  if (ends && ends.textContent !== words) ends.textContent = words;
  span(box, until, at);
  return stage;
}

/** The early–late band on a line from its start. @param {Element} box @param {number[]} until @param {number} at */
function span(box, until, at) {
  // the start is not sent; the line reaches as far before the early end as the band is wide, or to what is left
  const start = Number(/** @type {HTMLElement} */ (box).dataset.start ?? (/** @type {HTMLElement} */ (box).dataset.start = String(Math.min(at, until[0]))));
  const whole = Math.max(1, until[2] - start);
  const share = (/** @type {number} */ s) => String(Math.max(0, Math.min(100, ((s - start) / whole) * 100)));
  const wide = (/** @type {number} */ a, /** @type {number} */ b) => String(Math.max(0, Number(share(b)) - Number(share(a))));
  box.querySelector(".band")?.setAttribute("x", share(until[0]));
  box.querySelector(".band")?.setAttribute("width", wide(until[0], until[2]));
  box.querySelector("rect.likely")?.setAttribute("x", share(until[1]));
  box.querySelector(".gone")?.setAttribute("width", share(at));
}
