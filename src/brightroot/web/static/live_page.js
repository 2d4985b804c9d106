/** A page of one joint: entries go through the outbox; the page looks again when the log has grown. */
import { help, send } from "/static/record.js";

const joint = encodeURIComponent(document.documentElement.dataset.joint ?? "");
const live = () => /** @type {HTMLElement} */ (document.getElementById("live"));

function start() {
  help(live());
  for (const form of /** @type {NodeListOf<HTMLFormElement>} */ (live().querySelectorAll("form[data-event]"))) {
    form.addEventListener("submit", async (event) => {
      event.preventDefault();
      if (await send(form)) await lookAgain(true);
    });
  }
}

/** @param {boolean} [surely] */
async function lookAgain(surely = false) {
  if (!surely && live().querySelector("details.entry[open], details.happening[open], .why-box")) return;
  const answer = await fetch(location.href, { headers: { accept: "text/html" } }).catch(() => undefined);
  if (!answer?.ok) return;
  const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").getElementById("live");
  if (!fresh) return;
  const [said, state] = [document.getElementById("sent")?.textContent ?? "", document.getElementById("sent")?.dataset.state ?? ""];
  live().replaceWith(fresh);
  const line = document.getElementById("sent");
  if (line && state) [line.textContent, line.dataset.state] = [said, state];
  start();
}

const stream = new EventSource(`/joints/${joint}/stream`);
stream.addEventListener("state", (event) => {
  if (String(JSON.parse(/** @type {MessageEvent} */ (event).data).events_count) !== live().dataset.events) void lookAgain();
});
// the age of a reading grows by itself
setInterval(() => document.visibilityState === "visible" && void lookAgain(), 30000);
start();
