/**
 * Four tones told apart by rhythm, each with a vibration and a full-screen shape of the same rhythm. All are made here;
 * they repeat until somebody says that it was heard.
 */

/** @typedef {{hz: number, beats: [number, number][], every: number, shape: string}} Tone  beats: [start, length] in s */

/** @type {Record<string, Tone>} */
export const TONES = {
  // two long, rising: done, lift
  hold_over: { hz: 660, beats: [[0, 0.45], [0.6, 0.45]], every: 2.4, shape: "M50 8A42 42 0 1 1 49.9 8Z" },
  // three short, low
  too_hot: { hz: 330, beats: [[0, 0.14], [0.24, 0.14], [0.48, 0.14]], every: 3, shape: "M10 20H90M10 50H90M10 80H90" },
  // one long, falling
  gas_low: { hz: 440, beats: [[0, 1.1]], every: 2.6, shape: "M50 92A42 42 0 0 1 14 29M86 29A42 42 0 0 1 50 92" },
  // quick, without a pause
  oxygen_up: {
    hz: 880,
    beats: [[0, 0.09], [0.18, 0.09], [0.36, 0.09], [0.54, 0.09], [0.72, 0.09], [0.9, 0.09]],
    every: 1.3,
    shape: "M10 60L50 15L90 60M10 92L50 47L90 92",
  },
};

/** @type {AudioContext | undefined} */
let context;
let timer = 0;
/** the alarm that somebody already heard, so that the same one does not start again */
let heard = "";
let sounding = "";

/** A browser lets sound out only after a touch; any touch will do. */
export function unlock() {
  context ??= new AudioContext();
  if (context.state === "suspended") void context.resume();
}

/** One round of a tone: sound and vibration. @param {string} name */
export function once(name) {
  const tone = TONES[name];
  if (!tone) return;
  shake(pattern(tone));
  if (!context || context.state !== "running") return;
  const at = context.currentTime + 0.02;
  for (const [start, length] of tone.beats) beat(context, tone.hz * (name === "hold_over" && start > 0 ? 1.25 : 1), at + start, length);
}

/** Browsers allow it only after a touch, and complain before. @param {number | number[]} beats */
function shake(beats) {
  if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.(beats);
}

/** @param {AudioContext} out @param {number} hz @param {number} at @param {number} length */
function beat(out, hz, at, length) {
  const [source, gain] = [out.createOscillator(), out.createGain()];
  // a square wave cuts through a grinder better than a sine
  source.type = "square";
  source.frequency.setValueAtTime(hz, at);
  if (length > 1) source.frequency.linearRampToValueAtTime(hz * 0.6, at + length);
  gain.gain.setValueAtTime(0, at);
  gain.gain.linearRampToValueAtTime(0.25, at + 0.01);
  gain.gain.setValueAtTime(0.25, at + length - 0.02);
  gain.gain.linearRampToValueAtTime(0, at + length);
  source.connect(gain).connect(out.destination);
  source.start(at);
  source.stop(at + length + 0.05);
}

/** The beats as a vibration: on, off, on … in ms. @param {Tone} tone @returns {number[]} */
export function pattern(tone) {
  const out = [];
  tone.beats.forEach(([start, length], i) => {
    const next = tone.beats[i + 1];
    out.push(Math.round(length * 1000));
    if (next) out.push(Math.round((next[0] - start - length) * 1000));
  });
  return out;
}

/**
 * Sound until heard. `key` names this very alarm, so that one that was heard stays quiet.
 * @param {string} name @param {string} key
 */
export function sound(name, key) {
  if (!TONES[name] || key === heard || key === sounding) return;
  quiet();
  sounding = key;
  show(name);
  once(name);
  timer = window.setInterval(() => once(name), TONES[name].every * 1000);
}

/** Somebody heard it. */
export function acknowledge() {
  heard = sounding || heard;
  quiet();
}

/** Nothing to sound any more. */
export function quiet() {
  clearInterval(timer);
  sounding = "";
  shake(0);
  show("");
}

/** The shape of an alarm behind everything, in its rhythm. @param {string} name */
function show(name) {
  const [alarm, button] = [document.getElementById("alarm"), document.getElementById("heard")];
  if (!alarm || !button) return;
  alarm.hidden = button.hidden = !name;
  alarm.dataset.tone = name;
  if (!name) return alarm.replaceChildren();
  const picture = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  picture.setAttribute("viewBox", "0 0 100 100");
  picture.setAttribute("preserveAspectRatio", "xMidYMid meet");
  const path = document.createElementNS("http://www.w3.org/2000/svg", "path");
  path.setAttribute("d", TONES[name].shape);
  picture.append(path);
  alarm.replaceChildren(picture);
}
