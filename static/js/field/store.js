/** What is kept on the phone: one IndexedDB for each account, so that nobody is shown another's records. */
import { say } from "./tongue.js";

const STORES = { packs: "pk", records: "client_id", photos: "client_id", meta: "key" };
const VERSION = 1;

/** @type {IDBDatabase|null} */
let db = null;
let owner = "";

/** Open the store of `account`, an opaque text from the server; a later page's newer store closes this one. */
export function open(account) {
  return new Promise((resolve, reject) => {
    if (db && owner === account) return resolve(db);
    db?.close();
    db = null;
    const asked = indexedDB.open(`stubble-field-${account}`, VERSION);
    asked.onupgradeneeded = () => {
      for (const [name, keyPath] of Object.entries(STORES)) {
        if (!asked.result.objectStoreNames.contains(name)) asked.result.createObjectStore(name, { keyPath });
      }
    };
    asked.onsuccess = () => {
      db = asked.result;
      owner = account;
      db.onversionchange = () => db?.close();
      resolve(db);
    };
    asked.onerror = () => reject(asked.error);
    asked.onblocked = () => reject(new Error(say("Another tab holds an older store; close it and load this page again.")));
    return undefined;
  });
}

/** Is a store open, and whose? Empty where nobody is known on this phone. */
export const account = () => (db ? owner : "");

/** Forget which store is open; nothing in it is touched. */
export function close() {
  db?.close();
  db = null;
  owner = "";
}

/**
 * Do `work(stores)` in one transaction; resolves with what `work` gave once the transaction is on the disk.
 * Everything in it happens or nothing does: a full phone fails here, and what was there stays.
 */
export function write(names, work) {
  return new Promise((resolve, reject) => {
    if (!db) return reject(new Error(say("Nobody is signed in on this phone.")));
    const asked = db.transaction(names, "readwrite", { durability: "strict" });
    let given;
    asked.oncomplete = () => resolve(given?.result !== undefined ? given.result : given);
    asked.onabort = () => reject(asked.error ?? new Error(say("The phone did not keep it.")));
    given = work(...names.map((name) => asked.objectStore(name)));
    return undefined;
  });
}

function read(name, ask) {
  return new Promise((resolve, reject) => {
    if (!db) return resolve(undefined);
    const asked = ask(db.transaction([name]).objectStore(name));
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
    return undefined;
  });
}

export const get = (name, key) => read(name, (store) => store.get(key));
export const all = async (name) => (await read(name, (store) => store.getAll())) ?? [];
export const put = (name, row) => write([name], (store) => store.put(row));
export const drop = (name, key) => write([name], (store) => void store.delete(key));

/** Read a row, let `turn` change it, write it back: in one transaction, so two tabs never cross. Nothing there: nothing done. */
export function change(name, key, turn) {
  return write([name], (store) => {
    const asked = store.get(key);
    asked.onsuccess = () => {
      const row = asked.result && turn(asked.result);
      if (row) store.put(row);
    };
  });
}

/** A value of `meta`, or `otherwise`. */
export const setting = async (key, otherwise = null) => (await get("meta", key))?.value ?? otherwise;
export const keep = (key, value) => put("meta", { key, value });

/** Is this the error of a phone with no room left? */
export const isFull = (error) => error?.name === "QuotaExceededError" || error?.inner?.name === "QuotaExceededError";
