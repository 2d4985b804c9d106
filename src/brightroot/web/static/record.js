/** A form of one event: its taps go through the outbox, and "recorded" is said only once the server has said so. */
import { record } from "/static/outbox.js";
import { recorded } from "/static/undo.js";

const KEPT_AFTER_MS = 2500;
const BARE = /^\s*[+-]?[\d.,/ -]+\s*$/;

/**
 * What the form says: bare numbers get the unit chosen beside them.
 * @param {HTMLFormElement} form @returns {{kind: string, facts: Record<string, string>, by: string, corrects: string}}
 */
export function said(form) {
  const data = new FormData(form);
  /** @type {Record<string, string>} */
  const facts = {};
  for (const [name, value] of data) {
    if (!name.startsWith("facts.") || typeof value !== "string" || !value.trim()) continue;
    facts[name.slice(6)] = BARE.test(value) ? `${value.trim()} ${unit(form, name)}`.trim() : value.trim();
  }
  const text = (/** @type {string} */ name) => String(data.get(name) ?? "").trim();
  return { kind: text("kind"), facts, by: text("by") || (document.documentElement.dataset.stamp ?? ""), corrects: text("corrects") };
}

/** @param {HTMLFormElement} form @param {string} name @returns {string} */
function unit(form, name) {
  const input = /** @type {HTMLInputElement | null} */ (form.elements.namedItem(name));
  const choice = input && "id" in input ? form.querySelector(`select[data-unit="${CSS.escape(input.id)}"]`) : null;
  return choice instanceof HTMLSelectElement ? choice.value : "";
}

/**
 * Send a form. Resolves true once recorded; false where it was refused, with the reason beside the field.
 * @param {HTMLFormElement} form @returns {Promise<boolean>}
 */
export async function send(form) {
  const joint = document.documentElement.dataset.joint ?? "";
  const { kind, facts, by, corrects } = said(form);
  const kept = setTimeout(() => tell("kept"), KEPT_AFTER_MS);
  tell("sending");
  busy(form, true);
  try {
    const answer = await record(joint, kind, facts, { by, corrects });
    tell("recorded", answer.at_utc.slice(11, 19));
    if (kind !== "event.withdrawn") recorded(answer.event);
    remember(by);
    return true;
  } catch (envelope) {
    refused(form, /** @type {any} */ (envelope));
    tell("");
    return false;
  } finally {
    clearTimeout(kept);
    busy(form, false);
  }
}

/** @param {HTMLFormElement} form @param {boolean} on */
function busy(form, on) {
  for (const button of form.querySelectorAll("button")) button.disabled = on;
}

/** A stamp typed once is the stamp of this browser. @param {string} by */
function remember(by) {
  const root = document.documentElement;
  if (!by || root.dataset.stamp) return;
  root.dataset.stamp = by;
  void fetch("/settings", { method: "POST", headers: { "content-type": "application/json", accept: "application/json" }, body: JSON.stringify({ stamp: by }) });
}

/** @param {"sending" | "kept" | "recorded" | ""} what @param {string} [time] */
export function tell(what, time = "") {
  const line = document.getElementById("sent");
  if (line) line.textContent = what ? (line.dataset[what] ?? "").replace("{time}", time) : "";
  if (line) line.dataset.state = what;
}

/** @param {HTMLFormElement} form @param {{say?: string, wanted?: string, field?: string, errors?: Record<string, string>}} envelope */
function refused(form, envelope) {
  const line = /** @type {HTMLElement | null} */ (form.querySelector(".form-error"));
  if (line) {
    line.hidden = false;
    line.textContent = envelope.say ?? Object.values(envelope.errors ?? {}).join(" ") ?? envelope.wanted ?? "";
  }
  const field = form.querySelector(`[name="facts.${CSS.escape(envelope.field ?? "")}"]`);
  if (field instanceof HTMLElement) {
    field.setAttribute("aria-invalid", "true");
    field.focus();
  }
}

/** The small helps inside forms: same as last, clock keys, number keys. @param {ParentNode} root */
export function help(root) {
  for (const button of /** @type {NodeListOf<HTMLButtonElement>} */ (root.querySelectorAll("button[data-fill]"))) {
    button.addEventListener("click", () => fill(document.getElementById(button.dataset.fill ?? ""), button.dataset.value ?? ""));
  }
  for (const button of /** @type {NodeListOf<HTMLButtonElement>} */ (root.querySelectorAll("button[data-as-last]"))) {
    button.addEventListener("click", () => {
      for (const radio of /** @type {NodeListOf<HTMLInputElement>} */ (button.form?.querySelectorAll("input[data-last]"))) radio.checked = true;
    });
  }
  for (const input of /** @type {NodeListOf<HTMLInputElement>} */ (root.querySelectorAll("input[data-clock]"))) {
    input.closest(".ask")?.append(keys(["12", "1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11", ":30"], "clock-keys", (key) =>
      fill(input, key === ":30" ? input.value.replace(/:.*/, "") + ":30" : key)));
  }
  for (const input of /** @type {NodeListOf<HTMLInputElement>} */ (root.querySelectorAll("input[data-number]"))) {
    input.closest(".ask")?.append(keys(["1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "0", "⌫"], "number-keys", (key) => {
      const bare = BARE.test(input.value) ? input.value : "";
      fill(input, key === "⌫" ? bare.slice(0, -1) : bare + key);
    }));
  }
  for (const radio of /** @type {NodeListOf<HTMLInputElement>} */ (root.querySelectorAll("input[data-state]"))) {
    radio.addEventListener("change", () => {
      const number = radio.form?.querySelector("[name='facts.oxygen_frac']");
      if (number instanceof HTMLInputElement && radio.value !== "reading") number.value = "";
    });
  }
}

/** @param {Element | null} input @param {string} value */
function fill(input, value) {
  if (!(input instanceof HTMLInputElement)) return;
  input.value = value;
  input.removeAttribute("aria-invalid");
  const reading = input.name === "facts.oxygen_frac" && value ? input.form?.querySelector("input[data-state][value='reading']") : null;
  if (reading instanceof HTMLInputElement) reading.checked = true;
}

/** @param {string[]} names @param {string} kind @param {(key: string) => void} press @returns {HTMLElement} */
function keys(names, kind, press) {
  const pad = document.createElement("div");
  pad.className = `pad ${kind}`;
  for (const name of names) {
    const key = document.createElement("button");
    key.type = "button";
    key.textContent = name;
    key.addEventListener("click", () => press(name));
    pad.append(key);
  }
  return pad;
}
