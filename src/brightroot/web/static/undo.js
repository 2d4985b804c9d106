/** For ten seconds the last entry of this page can be taken back by one tap. Both entries stay in the log. */
import { record } from "/static/outbox.js";

const OPEN_MS = 10_000;
let entry = "";
let until_ms = 0;

/** An entry was recorded from here. @param {string} event */
export function recorded(event) {
  [entry, until_ms] = [event, Date.now() + OPEN_MS];
}

/** Put the button in its place again after the page has looked again. @param {() => void} looked called once it is taken back */
export function offer(looked) {
  const line = document.getElementById("undo");
  const left_ms = until_ms - Date.now();
  if (!line || !entry || left_ms <= 0) return;
  line.hidden = false;
  const hide = setTimeout(() => (line.hidden = true), left_ms);
  line.querySelector("button")?.addEventListener("click", async (event) => {
    const button = /** @type {HTMLButtonElement} */ (event.currentTarget);
    button.disabled = true;
    clearTimeout(hide);
    const joint = document.documentElement.dataset.joint ?? "";
    const [taken, why] = [entry, button.dataset.why ?? ""];
    entry = "";
    await record(joint, "event.withdrawn", { why }, { corrects: taken }).catch(() => undefined);
    line.hidden = true;
    looked();
  });
}
