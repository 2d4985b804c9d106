/** The one table in this browser's own database: taps by client_id. */

const NAME = "brightroot";
const TABLE = "taps";

/** @type {Promise<IDBDatabase> | undefined} */
let opened;

/** @returns {Promise<IDBDatabase>} */
function open() {
  opened ??= new Promise((done, fail) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore(TABLE, { keyPath: "client_id" });
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => fail(asked.error);
  });
  return opened;
}

/**
 * Do one thing with the table; resolves only when it is on disk.
 * @param {(store: IDBObjectStore) => IDBRequest} what
 * @returns {Promise<any>}
 */
export async function unlocked(what) {
  const base = await open();
  return new Promise((done, fail) => {
    const work = base.transaction(TABLE, "readwrite", { durability: "strict" });
    const asked = what(work.objectStore(TABLE));
    work.oncomplete = () => done(asked.result);
    work.onerror = () => fail(work.error);
    work.onabort = () => fail(work.error);
  });
}
