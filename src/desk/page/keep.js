// Keeps unsaved work in the browser's own store, so that a reload or a crash loses nothing. A browser that refuses to store is told of once;
// then everything else goes on working.

/** @typedef {{id: string, when: number, unsaved: boolean, work: any}} Slot */

const STORE = "upbead-desk";
const KEPT_FOR_DAYS = 60;

/** @type {Promise<IDBDatabase> | null} */
let opened = null;
/** The name of this page's slot: the tab keeps it over a reload. */
let own = "";
/** Slots that this page holds, and how each is let go. @type {Map<string, () => Promise<void>>} */
const held = new Map();
/** Pages of one browser at one port tell each other when they come and when they let a slot go. */
const channel = new BroadcastChannel(STORE);
/** How long a page that comes waits for the others' answers, in milliseconds. */
const PATIENCE = 400;

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
    // Without waiting for the answers, so that what is begun ends well even if the page goes away now.
    if (mode === "readwrite") transaction.commit?.();
    transaction.oncomplete = () => done(request.result);
    transaction.onerror = () => failed(transaction.error);
    transaction.onabort = () => failed(transaction.error);
  });
}

/** Takes a slot for this page and gives back what is kept for it: this tab's own after a reload, else the newest unsaved work that no open page
 * holds. Null where nothing is kept or the browser refuses.
 * @param {boolean} isCalled whether a chart was named to begin with, so that only unsaved work counts @returns {Promise<{refused: boolean, slot: Slot | null}>} */
export async function begin(isCalled) {
  try {
    const mine = sessionStorage.getItem(STORE);
    await greet(mine);
    const slots = /** @type {Slot[]} */ (await within("slots", "readonly", (store) => store.getAll()));
    slots.sort((one, other) => other.when - one.when);
    for (const slot of wanted(slots, mine, isCalled)) {
      if (!(await hold(slot.id))) continue;
      use(slot.id);
      return { refused: false, slot };
    }
    await another();
    await tidy(slots);
    return { refused: false, slot: null };
  } catch {
    own = "none";
    return { refused: true, slot: null };
  }
}

/** The slots that a page may come up with, the likeliest first: one of its own with nothing in it comes after unsaved work.
 * @param {Slot[]} slots the newest first @param {string | null} mine @param {boolean} isCalled */
function wanted(slots, mine, isCalled) {
  const own = slots.filter((slot) => slot.id === mine);
  const counts = (/** @type {Slot} */ slot) => slot.unsaved || !(isCalled || isEmpty(slot));
  return [...own.filter(counts), ...slots.filter((slot) => slot.id !== mine && slot.unsaved), ...own];
}

/** @param {Slot} slot */
function isEmpty({ unsaved, work }) {
  return !unsaved && !work.picture && !work.file && !work.done.length && !work.undone.length;
}

/** Tells the other pages that this one comes, and waits until each has said whether it stays. @param {string | null} mine */
async function greet(mine) {
  if (!navigator.locks) return;
  const locks = (await navigator.locks.query()).held ?? [];
  const names = locks.map((lock) => lock.name ?? "").filter((name) => name.startsWith(`${STORE} `));
  const silent = new Set(names.map((name) => name.slice(STORE.length + 1)));
  if (mine) silent.delete(mine);
  if (!silent.size) return;
  await new Promise((done) => {
    const hear = (/** @type {MessageEvent} */ { data }) => {
      for (const id of data.ids ?? []) silent.delete(id);
      if (!silent.size) done(undefined);
    };
    channel.addEventListener("message", hear);
    channel.postMessage({ is: "come", home: location.pathname });
    setTimeout(done, PATIENCE);
  });
}

/** Listens to the other pages. @param {() => void} moved told when a page comes from another program, which may have taken the place of this page's
 * @param {(id: string) => void} left told when another page has let a slot go */
export function listen(moved, left) {
  channel.addEventListener("message", ({ data }) => {
    if (data.is === "come" && data.home === location.pathname) channel.postMessage({ is: "stay", ids: [...held.keys()] });
    if (data.is === "come" && data.home !== location.pathname) moved();
    if (data.is === "left" && own !== "none") for (const id of data.ids) left(id);
  });
}

/** Holds a slot for as long as the page lives or until it is let go; false if another page does. @param {string} id @returns {Promise<boolean>} */
export function hold(id) {
  if (held.has(id)) return Promise.resolve(true);
  if (!navigator.locks) {
    held.set(id, async () => undefined);
    return Promise.resolve(true);
  }
  return new Promise((done, failed) => {
    const all = navigator.locks.request(`${STORE} ${id}`, { ifAvailable: true }, (lock) => {
      if (!lock) {
        done(false);
        return undefined;
      }
      return new Promise((release) => {
        held.set(id, async () => {
          release(undefined);
          await all;
        });
        done(true);
      });
    });
    all.catch(failed);
  });
}

/** From now on the page keeps its work in this slot, which it holds. @param {string} id */
export function use(id) {
  own = id;
  sessionStorage.setItem(STORE, id);
}

/** The name of the slot in use. */
export function inUse() {
  return own;
}

/** Leaves the slot in use as it is, still held, and takes a new one. */
export async function another() {
  const id = crypto.randomUUID?.() ?? String(Math.random());
  await hold(id);
  use(id);
}

/** Lets a slot go, so that another page can take it up. @param {string} id */
export async function letGo(id) {
  await held.get(id)?.();
  held.delete(id);
}

/** Lets the slot in use go and tells the other pages; what comes after is kept in a new one. */
export async function moveOut() {
  if (own === "none") return;
  const id = own;
  await another();
  await letGo(id);
  channel.postMessage({ is: "left", ids: [id] });
}

/** What is kept in a slot. @param {string} id @returns {Promise<Slot | null>} */
export async function slotOf(id) {
  try {
    return (await within("slots", "readonly", (store) => store.get(id))) ?? null;
  } catch {
    return null;
  }
}

/** Forgets slots that nobody came back for, unless another page is at them. @param {Slot[]} slots */
async function tidy(slots) {
  const old = Date.now() - KEPT_FOR_DAYS * 86400000;
  for (const slot of slots) {
    if ((slot.when < old || !slot.unsaved) && (await hold(slot.id))) {
      await within("slots", "readwrite", (store) => store.delete(slot.id));
      await within("things", "readwrite", (store) => store.delete(`picture ${slot.id}`));
      await letGo(slot.id);
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

/** The picture kept in a slot. @param {string} id @returns {Promise<{name: string, bytes: ArrayBuffer} | null>} */
export async function keptPicture(id) {
  try {
    return (await within("things", "readonly", (store) => store.get(`picture ${id}`))) ?? null;
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
