/** This device's own signing key: made here, kept here, never readable, not even by this page. Only over HTTPS or on this machine. */

const NAME = "brightroot-key";

/** @returns {Promise<IDBDatabase>} */
function open() {
  return new Promise((done, fail) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore("keys");
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => fail(asked.error);
  });
}

/** @returns {Promise<CryptoKeyPair | undefined>} */
async function kept() {
  const base = await open();
  return new Promise((done, fail) => {
    const asked = base.transaction("keys").objectStore("keys").get("own");
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => fail(asked.error);
  });
}

/** Whether this browser can make and keep such a key here. @returns {Promise<boolean>} */
export async function canKeep() {
  if (!globalThis.isSecureContext || !crypto.subtle) return false;
  try {
    await crypto.subtle.generateKey({ name: "Ed25519" }, false, ["sign", "verify"]);
    return true;
  } catch {
    return false;
  }
}

/** A new key, kept in this browser; its public half in hexadecimal digits. @returns {Promise<string>} */
export async function makeKey() {
  const pair = /** @type {CryptoKeyPair} */ (await crypto.subtle.generateKey({ name: "Ed25519" }, false, ["sign", "verify"]));
  const base = await open();
  await new Promise((done, fail) => {
    const work = base.transaction("keys", "readwrite");
    work.objectStore("keys").put(pair, "own");
    work.oncomplete = () => done(undefined);
    work.onerror = () => fail(work.error);
  });
  return hex(await crypto.subtle.exportKey("raw", pair.publicKey));
}

/**
 * The signature of what is about to be sent, or nothing where this device has no key of its own.
 * @param {string} address @param {string} body @returns {Promise<Record<string, string>>} headers
 */
export async function signature(address, body) {
  if (!globalThis.isSecureContext || !crypto.subtle) return {};
  const pair = await kept().catch(() => undefined);
  if (!pair) return {};
  const said = new TextEncoder().encode(`brightroot tap 1\n${address}\n${body}`);
  return { "x-device-signature": hex(await crypto.subtle.sign({ name: "Ed25519" }, pair.privateKey, said)) };
}

/** @param {ArrayBuffer} bytes @returns {string} */
function hex(bytes) {
  return Array.from(new Uint8Array(bytes), (b) => b.toString(16).padStart(2, "0")).join("");
}
