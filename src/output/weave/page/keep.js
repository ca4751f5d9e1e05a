// Stores the place in the browser: in its storage, or where that is refused in the page's address.

/**
 * @typedef {object} PlaceStore
 * @property {() => string | null} read
 * @property {(text: string) => void} write
 * @property {() => boolean} isRefused
 * @property {(key: string | null) => boolean} isOwnKey
 */

/**
 * The store for the chart with this id. Whatever the browser refuses, nothing is thrown.
 * @param {string} id
 * @returns {PlaceStore}
 */
export function placeStore(id) {
  const key = `upbead.place.${id}`;
  let refused = false;
  return {
    read() {
      try {
        return window.localStorage.getItem(key) ?? readAddress(id);
      } catch {
        refused = true;
        return readAddress(id);
      }
    },
    write(text) {
      try {
        window.localStorage.setItem(key, text);
        refused = false;
      } catch {
        refused = true;
        forget(key);
        writeAddress(id, text);
      }
    },
    isRefused: () => refused,
    isOwnKey: (changed) => changed === key,
  };
}

/**
 * Removes an older place, which would hide the one in the address.
 * @param {string} key
 */
function forget(key) {
  try {
    window.localStorage.removeItem(key);
  } catch {
    // Nothing is stored where storage is refused.
  }
}

/**
 * What the page's address holds for a chart.
 * @param {string} id
 */
function readAddress(id) {
  const { hash } = window.location;
  const prefix = `#${id}=`;
  if (!hash.startsWith(prefix)) return null;
  try {
    return decodeURIComponent(hash.slice(prefix.length));
  } catch {
    return null;
  }
}

/**
 * Puts the place into the page's address, without the places for undo.
 * @param {string} id
 * @param {string} text
 */
function writeAddress(id, text) {
  const { place, counting, isTurned } = JSON.parse(text);
  const short = JSON.stringify({ version: 1, place, counting, isTurned });
  try {
    window.history.replaceState(null, "", `#${id}=${encodeURIComponent(short)}`);
  } catch {
    // The place is kept until the page is closed.
  }
}
