/** What every page does: settings at a touch, a figure opened to its why in place, and word of what is on its way. */
import { dismiss } from "/static/outbox.js";

const toasts = /** @type {HTMLElement} */ (document.getElementById("toasts"));

/**
 * Say something in the corner. `lasting` stays until it is closed.
 * @param {string} text @param {{lasting?: boolean, onClose?: () => void}} [how]
 */
export function toast(text, how = {}) {
  const said = document.createElement("p");
  said.append(text);
  if (how.lasting) {
    const close = document.createElement("button");
    close.textContent = toasts.dataset.close ?? "×";
    close.onclick = () => (said.remove(), how.onClose?.());
    said.append(" ", close);
  } else {
    setTimeout(() => said.remove(), 4000);
  }
  toasts.append(said);
}

// where one is ---------------------------------------------------------------------------------------------------
const here = /** @type {HTMLElement | null} */ (document.querySelector(".head nav [aria-current]"));
const row = here?.parentElement;
// on a phone the row scrolls; the name of this page stands in its middle
if (here && row && row.scrollWidth > row.clientWidth) row.scrollLeft = here.offsetLeft - (row.clientWidth - here.offsetWidth) / 2;

// settings -------------------------------------------------------------------------------------------------------
for (const form of /** @type {NodeListOf<HTMLFormElement>} */ (document.querySelectorAll("form[data-settings]"))) {
  form.addEventListener("change", () => form.requestSubmit());
}
document.addEventListener("keydown", (event) => {
  const open = document.querySelector("details.settings[open]");
  if (event.key === "Escape" && open) {
    open.removeAttribute("open");
    open.querySelector("summary")?.focus();
  }
});

// why ------------------------------------------------------------------------------------------------------------
let count = 0;
for (const link of /** @type {NodeListOf<HTMLAnchorElement>} */ (document.querySelectorAll("a[data-why]"))) prepare(link);
document.addEventListener("click", (event) => {
  const link = /** @type {Element} */ (event.target).closest?.("a[data-why]");
  if (!(link instanceof HTMLAnchorElement) || event.metaKey || event.ctrlKey || event.shiftKey) return;
  event.preventDefault();
  void turn(link);
});
document.addEventListener("keydown", (event) => {
  const link = /** @type {Element} */ (event.target).closest?.("a[data-why]");
  if (link instanceof HTMLAnchorElement && event.key === " ") {
    event.preventDefault();
    void turn(link);
  }
});

/** @param {HTMLAnchorElement} link */
function prepare(link) {
  link.setAttribute("role", "button");
  link.setAttribute("aria-expanded", "false");
}

/** @param {HTMLAnchorElement} link */
async function turn(link) {
  const there = link.getAttribute("aria-controls") && document.getElementById(link.getAttribute("aria-controls") ?? "");
  if (there) {
    there.remove();
    link.removeAttribute("aria-controls");
    link.setAttribute("aria-expanded", "false");
    link.focus();
    return;
  }
  const answer = await fetch(link.href, { headers: { accept: "text/html", "x-fragment": "1" } }).catch(() => undefined);
  if (!answer?.ok) {
    location.href = link.href;
    return;
  }
  const box = document.createElement("div");
  box.className = "why-box";
  box.innerHTML = await answer.text();
  for (const inner of /** @type {NodeListOf<HTMLAnchorElement>} */ (box.querySelectorAll("a[data-why]"))) prepare(inner);
  box.querySelector("[data-close]")?.addEventListener("click", () => void turn(link));
  const put = placed(link, box);
  put.id = `why-${++count}`;
  link.setAttribute("aria-controls", put.id);
  link.setAttribute("aria-expanded", "true");
}

/**
 * Below the line that the figure stands on: a row of its own under a table's row, or after its block.
 * @param {Element} link @param {HTMLElement} box @returns {HTMLElement} what to take away again
 */
function placed(link, box) {
  const row = link.closest("tr");
  if (!row) {
    const item = link.closest(".line, .why-input, li");
    const block = item ?? link.closest(".headline, .notice, p") ?? link;
    if (!item) block.after(box);
    else if (item.matches("li")) item.append(box);
    else {
      const under = document.createElement("dd"); // a list of terms holds nothing but terms and what is said of them
      under.className = "why-under";
      under.append(box);
      item.append(under);
      return under;
    }
    return box;
  }
  const below = document.createElement("tr");
  const cell = document.createElement("td");
  cell.colSpan = row.cells.length;
  cell.append(box);
  below.className = "why-row";
  below.append(cell);
  row.after(below);
  return below;
}

// the outbox -----------------------------------------------------------------------------------------------------
/** @type {Set<string>} */
const shown = new Set();
const line = document.createElement("p");
window.addEventListener("outbox", (event) => {
  const { taps, offline } = /** @type {CustomEvent} */ (event).detail;
  const sending = taps.filter((/** @type {any} */ tap) => !tap.refused).length;
  line.textContent = (toasts.dataset.waiting ?? "").replace("{count}", String(sending));
  if (offline) line.textContent += `. ${toasts.dataset.offline}`;
  sending ? toasts.prepend(line) : line.remove();
  for (const tap of taps.filter((/** @type {any} */ tap) => tap.refused && !shown.has(tap.client_id))) {
    shown.add(tap.client_id);
    toast(`${tap.joint}: ${toasts.dataset.refused} ${tap.refused.say ?? tap.refused.wanted}`, {
      lasting: true,
      onClose: () => void dismiss(tap.client_id),
    });
  }
});
