// Stores unsaved work in the browser, so that a reload or a crash loses nothing. Each open page
// holds a slot of its own. Where the browser refuses to store, all else goes on working.

import { upgradeWork } from "./migration.js";

/** @typedef {{id: string, when: number, unsaved: boolean, work: any}} Slot */

/** The database, and the prefix of every other name. */
const NAME = "upbead-desk";
/** The database's tables. */
const TABLES = /** @type {const} */ ({ work: "slots", pictures: "things" });
/** @typedef {typeof TABLES[keyof typeof TABLES]} Table */
/** Saved work is forgotten after so many days. */
const DAYS_KEPT = 60;
/** How long a new page waits for the answers of other pages, in milliseconds. */
const GREETING_TIMEOUT = 400;
/** The slot of a page whose browser refuses to store. */
const NO_SLOT = "none";

/** @type {Promise<IDBDatabase> | null} */
let database = null;
/** The slot of this page; the tab keeps it over a reload. */
let current = "";
/**
 * The slots that this page holds, each with how it is released.
 * @type {Map<string, () => Promise<void>>}
 */
const held = new Map();
/** Pages of one browser at one port tell each other when they open and when they release a slot. */
const channel = new BroadcastChannel(NAME);

/** @returns {Promise<IDBDatabase>} */
function open() {
  database ??= new Promise((done, failed) => {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore(TABLES.work, { keyPath: "id" });
      request.result.createObjectStore(TABLES.pictures);
    };
    request.onsuccess = () => done(request.result);
    request.onerror = () => failed(request.error);
    request.onblocked = () => failed(new Error("blocked"));
  });
  return database;
}

/**
 * Reads a table.
 * @template T
 * @param {Table} table
 * @param {(store: IDBObjectStore) => IDBRequest<T>} query
 */
function readTable(table, query) {
  return transact(table, "readonly", query);
}

/**
 * Writes to a table.
 * @template T
 * @param {Table} table
 * @param {(store: IDBObjectStore) => IDBRequest<T>} change
 */
function writeTable(table, change) {
  return transact(table, "readwrite", change);
}

/**
 * @template T
 * @param {Table} table
 * @param {IDBTransactionMode} mode
 * @param {(store: IDBObjectStore) => IDBRequest<T>} action
 * @returns {Promise<T>}
 */
async function transact(table, mode, action) {
  const base = await open();
  return new Promise((done, failed) => {
    const transaction = base.transaction(table, mode);
    const request = action(transaction.objectStore(table));
    // Committed at once, so that it ends well even if the page is closed now.
    if (mode === "readwrite") transaction.commit?.();
    transaction.oncomplete = () => done(request.result);
    transaction.onerror = () => failed(transaction.error);
    transaction.onabort = () => failed(transaction.error);
  });
}

/**
 * Opens a slot for this page and returns what is stored for it: this tab's own slot after a reload,
 * else the newest unsaved work that no open page holds. The slot is null where nothing is stored or
 * the browser refuses.
 * @param {{hasFile: boolean}} start whether the server was started with a chart: then only unsaved
 *   work counts
 * @returns {Promise<{isRefused: boolean, slot: Slot | null}>}
 */
export async function openSlot({ hasFile }) {
  try {
    const own = sessionStorage.getItem(NAME);
    await greet(own);
    const slots = /** @type {Slot[]} */ (
      await readTable(TABLES.work, (store) => store.getAll())
    ).map(upgradeSlot);
    slots.sort((one, other) => other.when - one.when);
    for (const slot of candidates(slots, own, hasFile)) {
      if (!(await holdSlot(slot.id))) continue;
      useSlot(slot.id);
      return { isRefused: false, slot };
    }
    await openNewSlot();
    await removeOldSlots(slots);
    return { isRefused: false, slot: null };
  } catch {
    current = NO_SLOT;
    return { isRefused: true, slot: null };
  }
}

/**
 * The slots that a page may open with, the likeliest first; an empty slot of its own comes last.
 * @param {Slot[]} slots the newest first
 * @param {string | null} own
 * @param {boolean} hasFile
 */
function candidates(slots, own, hasFile) {
  const mine = slots.filter((slot) => slot.id === own);
  const wanted = mine.filter((slot) => slot.unsaved || !(hasFile || isEmpty(slot)));
  const others = slots.filter((slot) => slot.id !== own && slot.unsaved);
  return [...wanted, ...others, ...mine];
}

/** @param {Slot} slot */
function isEmpty({ unsaved, work }) {
  return !unsaved && !work.picture && !work.file && !work.done.length && !work.undone.length;
}

/** @param {Slot} slot */
function upgradeSlot(slot) {
  return { ...slot, work: upgradeWork(slot.work) };
}

/**
 * Tells the other pages that this one opens, and waits until each has said which slots it holds.
 * @param {string | null} own
 */
async function greet(own) {
  if (!navigator.locks) return;
  const locks = (await navigator.locks.query()).held ?? [];
  const names = locks.map((lock) => lock.name ?? "");
  const prefix = lockName("");
  const silent = new Set(
    names.filter((name) => name.startsWith(prefix)).map((name) => name.slice(prefix.length)),
  );
  if (own) silent.delete(own);
  if (!silent.size) return;
  await new Promise((done) => {
    channel.addEventListener("message", ({ data }) => {
      for (const id of data.ids ?? []) silent.delete(id);
      if (!silent.size) done(undefined);
    });
    channel.postMessage({ type: "opened", path: location.pathname });
    setTimeout(done, GREETING_TIMEOUT);
  });
}

/**
 * Listens to the other pages.
 * @param {{onOtherServer: () => void, onReleased: (id: string) => void}} handlers `onOtherServer`:
 *   a page of another server opens, which may have taken the place of this page's server;
 *   `onReleased`: another page has released a slot
 */
export function listenToPages({ onOtherServer, onReleased }) {
  channel.addEventListener("message", ({ data }) => {
    if (data.type === "opened" && data.path === location.pathname) {
      channel.postMessage({ type: "holding", ids: [...held.keys()] });
    } else if (data.type === "opened") {
      onOtherServer();
    }
    if (data.type === "released" && current !== NO_SLOT) data.ids.forEach(onReleased);
  });
}

/** @param {string} id */
function lockName(id) {
  return `${NAME} ${id}`;
}

/**
 * Holds a slot until the page is closed or the slot is released; false if another page holds it.
 * @param {string} id
 * @returns {Promise<boolean>}
 */
export function holdSlot(id) {
  if (held.has(id)) return Promise.resolve(true);
  if (!navigator.locks) {
    held.set(id, async () => undefined);
    return Promise.resolve(true);
  }
  return new Promise((done, failed) => {
    const ended = navigator.locks.request(lockName(id), { ifAvailable: true }, (lock) => {
      done(lock !== null);
      if (!lock) return undefined;
      return new Promise((release) => {
        held.set(id, async () => {
          release(undefined);
          await ended;
        });
      });
    });
    ended.catch(failed);
  });
}

/**
 * Stores the page's work in this slot, which the page holds, from now on.
 * @param {string} id
 */
export function useSlot(id) {
  current = id;
  sessionStorage.setItem(NAME, id);
}

/** The id of the slot in use. */
export function currentSlot() {
  return current;
}

/** Leaves the slot in use as it is, still held, and opens a new one. */
export async function openNewSlot() {
  const id = crypto.randomUUID?.() ?? String(Math.random());
  await holdSlot(id);
  useSlot(id);
}

/**
 * Releases a slot, so that another page can open it.
 * @param {string} id
 */
export async function releaseSlot(id) {
  await held.get(id)?.();
  held.delete(id);
}

/** Releases the slot in use and tells the other pages; later work is stored in a new slot. */
export async function handOverSlot() {
  if (current === NO_SLOT) return;
  const id = current;
  await openNewSlot();
  await releaseSlot(id);
  channel.postMessage({ type: "released", ids: [id] });
}

/**
 * What is stored in a slot.
 * @param {string} id
 * @returns {Promise<Slot | null>}
 */
export async function readSlot(id) {
  try {
    /** @type {Slot | undefined} */
    const slot = await readTable(TABLES.work, (store) => store.get(id));
    return slot ? upgradeSlot(slot) : null;
  } catch {
    return null;
  }
}

/**
 * Removes slots with saved work and slots that are too old, unless another page holds them.
 * @param {Slot[]} slots
 */
async function removeOldSlots(slots) {
  const oldest = Date.now() - DAYS_KEPT * 86400000;
  for (const slot of slots) {
    if (slot.when >= oldest && slot.unsaved) continue;
    if (!(await holdSlot(slot.id))) continue;
    await writeTable(TABLES.work, (store) => store.delete(slot.id));
    await writeTable(TABLES.pictures, (store) => store.delete(pictureKey(slot.id)));
    await releaseSlot(slot.id);
  }
}

/**
 * Stores the work as it is now; false if the browser refuses.
 * @param {any} work
 * @param {{unsaved: boolean}} state
 * @returns {Promise<boolean>}
 */
export async function storeWork(work, { unsaved }) {
  try {
    const slot = { id: current, when: Date.now(), unsaved, work };
    await writeTable(TABLES.work, (store) => store.put(slot));
    return true;
  } catch {
    return false;
  }
}

/** @param {string} id of a slot */
function pictureKey(id) {
  return `picture ${id}`;
}

/**
 * Stores the picture's bytes, apart from the work since they are large and seldom change; false if
 * the browser refuses.
 * @param {{name: string, bytes: ArrayBuffer} | null} picture
 * @param {string} [id] what it is stored with; the slot in use if nothing else is said
 * @returns {Promise<boolean>}
 */
export async function storePicture(picture, id = current) {
  const key = pictureKey(id);
  try {
    if (picture) await writeTable(TABLES.pictures, (store) => store.put(picture, key));
    else await writeTable(TABLES.pictures, (store) => store.delete(key));
    return true;
  } catch {
    return false;
  }
}

/**
 * The picture stored with a slot.
 * @param {string} id
 * @returns {Promise<{name: string, bytes: ArrayBuffer} | null>}
 */
export async function readPicture(id) {
  try {
    return (await readTable(TABLES.pictures, (store) => store.get(pictureKey(id)))) ?? null;
  } catch {
    return null;
  }
}

/**
 * Keeps something under a key, such as `palette my tin.csv`; false if the browser refuses.
 * @param {string} key
 * @param {unknown} value
 * @returns {Promise<boolean>}
 */
export async function keep(key, value) {
  try {
    await writeTable(TABLES.pictures, (store) => store.put(value, key));
    return true;
  } catch {
    return false;
  }
}

/**
 * Everything that is kept under keys with this prefix; nothing where the browser refuses.
 * @param {string} prefix
 * @returns {Promise<any[]>}
 */
export async function readKept(prefix) {
  try {
    const keys = IDBKeyRange.bound(prefix, `${prefix}\uffff`);
    return await readTable(TABLES.pictures, (store) => store.getAll(keys));
  } catch {
    return [];
  }
}

/**
 * What is kept under a key; undefined if nothing is.
 * @param {string} key
 * @returns {Promise<any>}
 */
export async function readKeptOne(key) {
  try {
    return await readTable(TABLES.pictures, (store) => store.get(key));
  } catch {
    return undefined;
  }
}

/**
 * Forgets what is kept under a key.
 * @param {string} key
 */
export async function forget(key) {
  try {
    await writeTable(TABLES.pictures, (store) => store.delete(key));
  } catch {
    // Refused: then nothing is kept either.
  }
}

/**
 * A setting that all pages share, such as the screen's scale or the colours in stock.
 * @param {string} name
 * @returns {any}
 */
export function readSetting(name) {
  try {
    return JSON.parse(localStorage.getItem(`${NAME} ${name}`) ?? "null");
  } catch {
    return null;
  }
}

/**
 * @param {string} name
 * @param {any} value
 */
export function writeSetting(name, value) {
  try {
    localStorage.setItem(`${NAME} ${name}`, JSON.stringify(value));
  } catch {
    // Refused: the setting holds for this visit only.
  }
}
