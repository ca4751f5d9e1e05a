// Keeps unsaved work in the browser's own store, so that a reload or a crash loses nothing. A browser that refuses to store is told of once;
// then everything else goes on working.

/** @typedef {{id: string, when: number, unsaved: boolean, work: any}} Slot */

const STORE = "upbead-desk";
const KEPT_FOR_DAYS = 60;

/** @type {Promise<IDBDatabase> | null} */
let opened = null;
/** The name of this page's slot: the tab keeps it over a reload. */
let own = "";

/** @returns {Promise<IDBDatabase>} */
function open() {
  opened ??= new Promise((done, failed) => {
    const request = indexedDB.open(STORE, 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore("slots", { keyPath: "id" });
      request.result.createObjectStore("things");
    };
    request.onsuccess = () => done(request.result);
    request.onerror = () => failed(request.error);
    request.onblocked = () => failed(new Error("blocked"));
  });
  return opened;
}

/** @template T @param {"slots" | "things"} store @param {IDBTransactionMode} mode @param {(store: IDBObjectStore) => IDBRequest<T>} what @returns {Promise<T>} */
async function within(store, mode, what) {
  const base = await open();
  return new Promise((done, failed) => {
    const transaction = base.transaction(store, mode);
    const request = what(transaction.objectStore(store));
    transaction.oncomplete = () => done(request.result);
    transaction.onerror = () => failed(transaction.error);
    transaction.onabort = () => failed(transaction.error);
  });
}

/** Takes a slot for this page and gives back what is kept for it: this tab's own after a reload, else the newest unsaved work that no open page
 * holds. Null where nothing is kept or the browser refuses. @returns {Promise<{refused: boolean, slot: Slot | null}>} */
export async function begin() {
  try {
    const mine = sessionStorage.getItem(STORE);
    const slots = /** @type {Slot[]} */ (await within("slots", "readonly", (store) => store.getAll()));
    slots.sort((one, other) => other.when - one.when);
    const wanted = slots.filter((slot) => slot.id === mine).concat(slots.filter((slot) => slot.unsaved && slot.id !== mine));
    for (const slot of wanted) if (await hold(slot.id)) return { refused: false, slot };
    own = crypto.randomUUID?.() ?? String(Math.random());
    await hold(own);
    await tidy(slots);
    return { refused: false, slot: null };
  } catch {
    own = "none";
    return { refused: true, slot: null };
  }
}

/** Holds a slot for as long as the page lives; false if another page does. @param {string} id @returns {Promise<boolean>} */
function hold(id) {
  const took = () => {
    own = id;
    sessionStorage.setItem(STORE, id);
    return true;
  };
  if (!navigator.locks) return Promise.resolve(took());
  return new Promise((done) => {
    navigator.locks.request(`${STORE} ${id}`, { ifAvailable: true }, (lock) => {
      if (!lock) {
        done(false);
        return undefined;
      }
      done(took());
      return new Promise(() => undefined);
    });
  });
}

/** Leaves the slot as it is for later and takes a new one. */
export async function another() {
  await hold(crypto.randomUUID?.() ?? String(Math.random()));
}

/** Forgets slots that nobody came back for. @param {Slot[]} slots */
async function tidy(slots) {
  const old = Date.now() - KEPT_FOR_DAYS * 86400000;
  for (const slot of slots) {
    if (slot.when < old || !slot.unsaved) {
      await within("slots", "readwrite", (store) => store.delete(slot.id));
      await within("things", "readwrite", (store) => store.delete(`picture ${slot.id}`));
    }
  }
}

/** Keeps the work as it is now; false if the browser refuses. @param {any} work @param {boolean} unsaved @returns {Promise<boolean>} */
export async function keep(work, unsaved) {
  try {
    await within("slots", "readwrite", (store) => store.put({ id: own, when: Date.now(), unsaved, work }));
    return true;
  } catch {
    return false;
  }
}

/** Keeps the picture's bytes, apart since they are large and seldom change. @param {{name: string, bytes: ArrayBuffer} | null} picture @returns {Promise<boolean>} */
export async function keepPicture(picture) {
  try {
    await within(
      "things",
      "readwrite",
      (store) => /** @type {IDBRequest<unknown>} */ (picture ? store.put(picture, `picture ${own}`) : store.delete(`picture ${own}`)),
    );
    return true;
  } catch {
    return false;
  }
}

/** The picture kept for this page. @returns {Promise<{name: string, bytes: ArrayBuffer} | null>} */
export async function keptPicture() {
  try {
    return (await within("things", "readonly", (store) => store.get(`picture ${own}`))) ?? null;
  } catch {
    return null;
  }
}

/** A small thing that all pages share, such as the screen's measure or the colours owned. @param {string} name @returns {any} */
export function remembered(name) {
  try {
    return JSON.parse(localStorage.getItem(`${STORE} ${name}`) ?? "null");
  } catch {
    return null;
  }
}

/** @param {string} name @param {any} value */
export function remember(name, value) {
  try {
    localStorage.setItem(`${STORE} ${name}`, JSON.stringify(value));
  } catch {
    // Refused: it holds for this visit only.
  }
}
