// Keeps the place in the browser: in its storage, or, where that is refused, in the page's own address.

/**
 * @typedef {{read: () => string | null, write: (text: string) => void, refused: () => boolean, heard: (key: string | null) => boolean}} Keeper
 */

/**
 * A keeper for the chart of this id. Whatever the browser refuses, nothing is thrown.
 * @param {string} id
 * @returns {Keeper}
 */
export function keeper(id) {
  const key = `upbead.place.${id}`;
  const mark = `#${id}=`;
  let refused = false;

  /** @returns {string | null} */
  function fromAddress() {
    const { hash } = window.location;
    if (!hash.startsWith(mark)) return null;
    try {
      return decodeURIComponent(hash.slice(mark.length));
    } catch {
      return null;
    }
  }

  /** @param {string} text */
  function intoAddress(text) {
    const { place, counting } = JSON.parse(text);
    const short = JSON.stringify({ version: 1, place, counting });
    try {
      window.history.replaceState(null, "", mark + encodeURIComponent(short));
    } catch {
      // The place holds until the page is closed.
    }
  }

  return {
    read() {
      try {
        return window.localStorage.getItem(key) ?? fromAddress();
      } catch {
        refused = true;
        return fromAddress();
      }
    },
    write(text) {
      try {
        window.localStorage.setItem(key, text);
        refused = false;
      } catch {
        refused = true;
        intoAddress(text);
      }
    },
    refused: () => refused,
    heard: (changed) => changed === key,
  };
}
