/** Now: the countdown runs, the log's growth is heard, and one press does the one thing. */
import { now, large, put, tick } from "/static/countdown.js";
import { acknowledge, once, quiet, sound, TONES, unlock } from "/static/sounds.js";
import { help, send } from "/static/record.js";
import { offer } from "/static/undo.js";
import "/static/awake.js";

const joint = encodeURIComponent(document.documentElement.dataset.joint ?? "");
const REST_MS = 900; // a foot that bounces does not strike twice
const NEW_MS = 450; // so long a button that has come to stand for another step does not take a tap meant for the last
let stage = "";
let pressed = 0;
let looking = false;
let again = false; // somebody asked surely while it was being looked

/** @returns {HTMLElement} */
const live = () => /** @type {HTMLElement} */ (document.getElementById("live"));

/** Everything that has to be set up again when the page has looked again. */
function start() {
  help(live());
  stage = "";
  for (const form of /** @type {NodeListOf<HTMLFormElement>} */ (live().querySelectorAll("form[data-event]"))) form.addEventListener("submit", submit);
  for (const details of live().querySelectorAll("details.entry")) {
    details.addEventListener("toggle", () => details.hasAttribute("open") && details.scrollIntoView({ block: "start" }));
  }
  for (const radio of /** @type {NodeListOf<HTMLInputElement>} */ (live().querySelectorAll("input[name=pedal]"))) {
    radio.checked = radio.value === pedal();
    radio.addEventListener("change", () => localStorage.setItem("pedal", radio.value));
  }
  document.getElementById("try-sound")?.addEventListener("click", () => {
    Object.keys(TONES).forEach((name, i) => setTimeout(() => once(name), i * 2200));
  });
  offer(() => void lookAgain(true));
  beat();
}

/** @param {SubmitEvent} event */
async function submit(event) {
  event.preventDefault();
  const form = /** @type {HTMLFormElement} */ (event.currentTarget);
  if (form.querySelector("#main-button[aria-disabled=true]")) return;
  acknowledge();
  if (!(await photo(form))) return;
  if (await send(form)) {
    if (location.search) history.replaceState(null, "", location.pathname);
    await lookAgain(true);
  }
}

/** A photo goes first; its hash then stands in the entry. @param {HTMLFormElement} form @returns {Promise<boolean>} */
async function photo(form) {
  const input = /** @type {HTMLInputElement | null} */ (form.querySelector("input[data-photo]"));
  const file = input?.files?.[0];
  if (!file) return true;
  const answer = await fetch(`/joints/${joint}/photos`, { method: "POST", headers: { "content-type": file.type, accept: "application/json" }, body: file }).catch(() => undefined);
  const told = await answer?.json().catch(() => undefined);
  const line = /** @type {HTMLElement | null} */ (form.querySelector(".form-error"));
  if (!told?.ok && line) {
    line.hidden = false;
    line.textContent = told?.say ?? document.getElementById("toasts")?.dataset.offline ?? "";
    return false;
  }
  const hidden = Object.assign(document.createElement("input"), { type: "hidden", name: "facts.photo_sha256", value: told.photo_sha256 });
  form.append(hidden);
  return true;
}

/** Whether somebody is in the middle of typing; then the page keeps still. @returns {boolean} */
function typing() {
  const at = document.activeElement;
  const open = live().querySelector("details.entry[open], details.happening[open], details.more[open], details.pedal[open], .why-box, .mend");
  return Boolean(open) || (at instanceof HTMLElement && at.matches("input, select, textarea"));
}

/** Fetch this page again and put its live part in place. @param {boolean} [surely] */
async function lookAgain(surely = false) {
  again ||= looking && surely;
  if (looking) return;
  looking = true;
  try {
    const answer = await fetch(location.pathname, { headers: { accept: "text/html" } });
    if (!answer.ok) return;
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").getElementById("live");
    // what somebody is typing stays, unless the arc or a stop says otherwise
    const urgent = fresh?.classList.contains("stopped") || fresh?.dataset.phase !== live().dataset.phase;
    if (!fresh || (!surely && !urgent && typing())) return;
    const focused = document.activeElement?.id;
    const other = fresh.dataset.says !== live().dataset.says || fresh.dataset.phase !== live().dataset.phase;
    const another = fresh.dataset.events !== live().dataset.events;
    // read at the last moment: the answer to a tap may have come while the page was fetched
    const sent = document.getElementById("sent");
    const [said, state] = [sent?.textContent ?? "", sent?.dataset.state ?? ""];
    live().replaceWith(fresh);
    if (another) rest(document.getElementById("main-button"));
    if (other) scrollTo({ top: 0, behavior: "instant" });
    if (focused) document.getElementById(focused)?.focus();
    const line = document.getElementById("sent");
    if (line && state) [line.textContent, line.dataset.state] = [said, state];
    if (!live().dataset.tone) quiet();
    start();
  } catch {
    // no network: what stands here still counts down
  } finally {
    looking = false;
  }
  if (again) {
    again = false;
    await lookAgain(true);
  }
}

/** The button keeps its place and its focus, and takes nothing for a moment. @param {HTMLElement | null} button */
function rest(button) {
  button?.setAttribute("aria-disabled", "true");
  setTimeout(() => button?.removeAttribute("aria-disabled"), NEW_MS);
}

/** Once a beat: the countdown, the arc's time, and the tone at the late end. */
function beat() {
  const up = /** @type {HTMLElement | null} */ (live().querySelector("[data-up]"));
  if (up) {
    const { digits, unit } = large(Math.floor(now() - Number(up.dataset.up)));
    const number = up.closest(".key-number");
    if (number) put(number, digits, unit);
  }
  const count = /** @type {HTMLElement | null} */ (live().querySelector(".count"));
  const before = stage;
  if (count) stage = tick(count);
  const tone = live().dataset.tone ?? "";
  const key = `${live().dataset.says} ${count?.dataset.until ?? live().dataset.events}`;
  if (tone) sound(tone, key);
  else if (count && stage === "over" && live().dataset.says === "say.hold") sound("hold_over", `say.hold_over ${count.dataset.until}`);
  // a breath later, so that the server is past that instant too
  if (before && stage !== before) setTimeout(() => void lookAgain(), 700);
}

/** @returns {string} */
function pedal() {
  return localStorage.getItem("pedal") ?? "any";
}

document.addEventListener("keydown", (event) => {
  const name = event.key === " " ? "Space" : event.key;
  if (!["Enter", "Space", "PageDown"].includes(name) || (pedal() !== "any" && pedal() !== name) || event.repeat) return;
  const at = document.activeElement;
  if (name !== "PageDown" && at instanceof HTMLElement && at.matches("a, button, input, select, textarea, summary")) return;
  const button = document.getElementById("main-button");
  if (!button || Date.now() - pressed < REST_MS) return;
  event.preventDefault();
  pressed = Date.now();
  const open = live().querySelector("details.entry[open] form");
  if (open instanceof HTMLFormElement) open.requestSubmit();
  else button.click();
});
document.getElementById("heard")?.addEventListener("click", acknowledge);
for (const kind of ["pointerdown", "keydown"]) document.addEventListener(kind, unlock);
document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && void lookAgain());

const stream = new EventSource(`/joints/${joint}/stream`);
stream.addEventListener("state", (event) => {
  const told = JSON.parse(/** @type {MessageEvent} */ (event).data);
  if (String(told.events_count) !== live().dataset.events) void lookAgain();
});
start();
setInterval(beat, 250);
