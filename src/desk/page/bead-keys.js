// Bead keys: the two or three letters that stand for a colour on a bead, such as `jn` for jersey
// navy. They follow the rule of `src/scene/keys.rs`, so that the page shows the keys that are
// printed.

/** @typedef {import("./chart.js").Colour} Colour */

/** How a key is made of a name's words, the first way that gives a free key. */
const WAYS = [
  { ofFirst: 1, ofOthers: 1 },
  { ofFirst: 1, ofOthers: 2 },
  { ofFirst: 2, ofOthers: 1 },
  { ofFirst: 2, ofOthers: 2 },
];

/** The characters of the embedded typeface (its `cmap` table), as ranges of hexadecimal numbers. */
const TYPEFACE =
  "20-7e a0-ac ae-148 14a-17f 192 218-21b 237 2c6-2c7 2d8-2dd 300-304 306-30a 30c 323 326-328 " +
  "374-376 37a-37f 384-38a 38c 38e-3a1 3a3-3d7 3dc-3dd 3f0-3f6 3f9-3fa 3fc-45f 490-493 49a-49b " +
  "4a2-4a3 4ae-4b1 4ba-4bb 4d8-4d9 4e8-4e9 1e80-1e85 1e9e 1ea0-1ef9 2000-200a 2010-2015 " +
  "2018-2022 2026 202f-2030 2032-2033 2039-203a 2044 2070 2074-2079 2080-2089 20ac 20bd 2116 " +
  "2122 2150-215e 2190-2199 21a9-21aa 21b0-21b1 21b3-21b5 21ba-21bb 2202 2205 2212 221a 221e " +
  "2248 2260 2264-2265 2318 2460-2468 24ea 25a0-25a1 25b2-25b3 25b6-25b7 25bc-25bd 25c0-25c1 " +
  "25c6-25c7 25ca-25cb 25cf 25e6 2605-2606 26a0 2713 2717";
const RANGES = TYPEFACE.split(" ").map((range) => {
  const [first, last = first] = range.split("-").map((digits) => parseInt(digits, 16));
  return { first, last };
});

/** Marks that change the direction of text (UAX #9), and what XML 1.0 forbids. */
const DIRECTION = /[\u200e\u200f\u061c\u202a-\u202e\u2066-\u2069]/gu;
const UNPRINTABLE = /[\p{Cc}\u2028\u2029\ufffe\uffff]/gu;

/**
 * A key for each colour of a chart, in their order, no two alike. A colour whose name has
 * characters that the typeface lacks is named by its code.
 * @param {Colour[]} colours
 */
export function beadKeys(colours) {
  /** @type {Set<string>} */
  const taken = new Set();
  return colours.map(({ name, code }) => {
    const text = [clean(name), clean(code)].find(isPrintable) ?? "";
    const words = wordsOf(text);
    const keys = WAYS.map((way) => initials(words, way));
    const key = keys.find((each) => !taken.has(each)) ?? numbered(keys[0], taken);
    taken.add(key);
    return key;
  });
}

/** @param {string} text */
function clean(text) {
  const printable = text.replace(DIRECTION, "").replace(UNPRINTABLE, " ");
  return printable
    .split(/\p{White_Space}+/u)
    .filter(Boolean)
    .join(" ");
}

/** @param {string} text */
function isPrintable(text) {
  return [...text].every((letter) => {
    const code = letter.codePointAt(0) ?? 0;
    return RANGES.some(({ first, last }) => code >= first && code <= last);
  });
}

/**
 * The words of a name in lower case: letters and digits only. Those that begin with a digit come
 * last, so that a key never reads as a count.
 * @param {string} name
 */
function wordsOf(name) {
  const all = name.split(/[ \-/,]/).map((word) =>
    [...word]
      .flatMap((letter) => [...letter.toLowerCase()])
      .filter((letter) => /[\p{Alphabetic}\p{N}]/u.test(letter))
      .join(""),
  );
  const isWord = (/** @type {string} */ word) => /^\p{Alphabetic}/u.test(word);
  const words = all.filter(isWord);
  const figures = all.filter((word) => word && !isWord(word));
  const isSingle = words.length === 1 && [...words[0]].length === 1;
  if (!words.length || isSingle) words.unshift("tone");
  return [...words, ...figures];
}

/**
 * The first letters of the first word and of the next two; a word on its own keeps one more.
 * @param {string[]} words
 * @param {{ofFirst: number, ofOthers: number}} way
 */
function initials([first, ...others], { ofFirst, ofOthers }) {
  const start = (/** @type {string} */ word, /** @type {number} */ letters) =>
    [...word].slice(0, letters).join("");
  if (!others.length) return start(first, ofFirst + ofOthers + 1);
  const rest = others.slice(0, 2).map((word) => start(word, ofOthers));
  return start(first, ofFirst) + rest.join("");
}

/**
 * The key with the first free number: `gar-2`.
 * @param {string} key
 * @param {Set<string>} taken
 */
function numbered(key, taken) {
  let number = 2;
  while (taken.has(`${key}-${number}`)) number++;
  return `${key}-${number}`;
}
