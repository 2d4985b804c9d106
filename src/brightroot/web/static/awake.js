/** The screen stays on while a live page is in front, where the browser allows it; elsewhere nothing is said. */

/** @type {WakeLockSentinel | undefined} */
let lock;

async function hold() {
  if (document.visibilityState !== "visible" || !("wakeLock" in navigator) || (lock && !lock.released)) return;
  lock = await navigator.wakeLock.request("screen").catch(() => undefined); // a low battery refuses it
}

document.addEventListener("visibilitychange", () => void hold());
void hold();
