/**
 * The outbox: a tap is kept in this browser with an id of its own, sent, and said to be recorded only once the server
 * has answered. Sending twice is harmless: the server knows the id. Nothing here is lost by a reload or a dead network.
 *
 * @typedef {{client_id: string, joint: string, kind: string, facts: Record<string, string>, by: string,
 *   at_utc: string, corrects: string, refused?: Record<string, unknown>, done?: string, done_ms?: number}} Tap
 */
import { unlocked } from "/static/keep.js";
import { signature } from "/static/sign.js";

const RETRY_MS = 5000;
const KEEP_MS = 14 * 86_400_000;
// the server's clock is the log's clock: what this browser's clock is off by, learned when the page was made
const skew_ms = Number(document.documentElement.dataset.now || 0) * 1000 - Date.now();
let timer = 0;

/** @returns {string} */
function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (b) => b.toString(16).padStart(2, "0")).join("");
}

/** The time of this tap on the server's clock. @returns {string} */
export function nowUtc() {
  return new Date(Date.now() + skew_ms).toISOString();
}

/**
 * Keep a tap and send it. Resolves once the server has recorded it; rejects with the envelope where it is refused.
 * While there is no network it stays pending and the promise with it.
 * @param {string} joint @param {string} kind @param {Record<string, string>} facts
 * @param {{by?: string, corrects?: string}} [more]
 * @returns {Promise<{ok: true, event: string, at_utc: string}>}
 */
export async function record(joint, kind, facts = {}, more = {}) {
  const by = more.by ?? document.documentElement.dataset.stamp ?? "";
  /** @type {Tap} */
  const tap = { client_id: newId(), joint, kind, facts, by, at_utc: nowUtc(), corrects: more.corrects ?? "" };
  await unlocked((store) => store.put(tap));
  tell();
  return new Promise((done, fail) => {
    waiting.set(tap.client_id, { tap, done, fail });
    void flush();
  });
}

/** @type {Map<string, {tap: Tap, done: (answer: any) => void, fail: (envelope: any) => void}>} */
const waiting = new Map();

/** Everything not yet recorded, oldest first. @returns {Promise<Tap[]>} */
export async function pending() {
  const taps = /** @type {Tap[]} */ (await unlocked((store) => store.getAll()));
  return taps.filter((tap) => !tap.done).sort((a, b) => (a.at_utc < b.at_utc ? -1 : 1));
}

/** Take a refused tap out, once the person has seen why. @param {string} client_id */
export async function dismiss(client_id) {
  await unlocked((store) => store.delete(client_id));
  tell();
}

let flushing = false;
let offline = false;
/** Send what waits, in order; stop at the first that cannot be sent. */
export async function flush() {
  if (flushing) return;
  flushing = true;
  clearTimeout(timer);
  try {
    let left = await toSend();
    while (left.length) {
      offline = !(await send(left[0]));
      if (offline) {
        timer = setTimeout(flush, RETRY_MS);
        break;
      }
      left = await toSend();
    }
  } finally {
    flushing = false;
    tell();
  }
}

/**
 * What waits in the table, and what another tab has sent for us: sent again, it brings the same answer.
 * @returns {Promise<Tap[]>}
 */
async function toSend() {
  const kept = await pending();
  const there = new Set(kept.map((tap) => tap.client_id));
  const ours = [...waiting.values()].map((one) => one.tap).filter((tap) => !there.has(tap.client_id));
  return [...kept.filter((tap) => !tap.refused || waiting.has(tap.client_id)), ...ours];
}

/** @param {Tap} tap @returns {Promise<boolean>} whether the server answered */
async function send(tap) {
  const { joint, refused: _, done: __, done_ms: ___, ...body } = tap;
  const address = `/joints/${encodeURIComponent(joint)}/events`;
  const said = JSON.stringify(body);
  let answer, told;
  try {
    answer = await fetch(address, {
      method: "POST",
      headers: { "content-type": "application/json", accept: "application/json", ...(await signature(address, said)) },
      body: said,
    });
    told = await answer.json();
  } catch {
    return false;
  }
  // nobody or somebody else is signed in: it waits on this device for its own person, and is neither lost nor theirs
  if (answer.status >= 500 || answer.status === 401 || told.error === "access.other_hand") return false;
  const promise = waiting.get(tap.client_id);
  waiting.delete(tap.client_id);
  if (told.ok) {
    const epoch = told.receipt?.epoch;
    if (epoch) await unlocked((store) => store.put({ ...tap, done: epoch, done_ms: Date.now() }));
    else await unlocked((store) => store.delete(tap.client_id));
    if (epoch) await heard(epoch);
    promise?.done(told);
    window.dispatchEvent(new CustomEvent("recorded", { detail: { tap, answer: told } }));
  } else if (promise) {
    // the page that asked still holds what was typed, so the refusal goes back there
    await unlocked((store) => store.delete(tap.client_id));
    promise.fail(told);
  } else {
    await unlocked((store) => store.put({ ...tap, refused: told }));
  }
  return true;
}

/**
 * What is recorded is kept for a while. A server that was brought back from a backup speaks under another epoch: what it
 * recorded under an older one goes out again, under the same id, so that what it still has is not doubled.
 * @param {string} epoch
 */
async function heard(epoch) {
  const kept = /** @type {Tap[]} */ (await unlocked((store) => store.getAll()));
  for (const tap of kept.filter((one) => one.done)) {
    if (tap.done !== epoch) await unlocked((store) => store.put({ ...tap, done: "" }));
    else if (Date.now() - (tap.done_ms ?? 0) > KEEP_MS) await unlocked((store) => store.delete(tap.client_id));
  }
}

/** Tell the page what waits and what was refused. */
async function tell() {
  const taps = await pending();
  window.dispatchEvent(new CustomEvent("outbox", { detail: { taps, offline } }));
}

window.addEventListener("online", flush);
document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && flush());
void flush();
