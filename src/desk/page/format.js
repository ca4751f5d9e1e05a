// Numbers and sentences as the page shows them.

/** Made once: a formatter for each number takes longer than the rest of the summary. */
const NUMBER = new Intl.NumberFormat("en-GB", { maximumFractionDigits: 2 });

/**
 * A number with thousands separators and at most two decimals.
 * @param {number} value
 */
export function number(value) {
  return NUMBER.format(value);
}

/**
 * A number rounded to one decimal.
 * @param {number} value
 */
export function tenths(value) {
  return number(Math.round(value * 10) / 10);
}

/**
 * `1 bead`, `333 beads`.
 * @param {number} count
 * @param {string} thing
 */
export function counted(count, thing) {
  return `${number(count)} ${thing}${count === 1 ? "" : "s"}`;
}

/**
 * Grams with few digits.
 * @param {number} value
 */
export function grams(value) {
  return `${value.toFixed(value < 0.1 ? 2 : value < 10 ? 1 : 0)} g`;
}

/**
 * A sentence that begins with a capital letter.
 * @param {string} text
 */
export function capitalised(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
