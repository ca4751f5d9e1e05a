// A palette as rows of text that can be edited: checked field by field, and written as CSV, byte
// for byte as the command line writes it.

/**
 * @typedef {object} Row a colour as its fields say it
 * @property {string} key what it is called while it is edited, whatever its code becomes
 * @property {string} code
 * @property {string} name
 * @property {string} hex
 * @property {string} finish
 * @property {string} grams
 * @property {string} per_gram
 * @property {string} price
 * @property {string} per_pack
 * @property {string[]} extra the cells of the owner's other columns
 */
/** @typedef {Exclude<keyof Row, "key" | "extra">} Field */
/** @typedef {Partial<Record<Field, string>>} Faults What is wrong with a row's fields. */
/** @typedef {{rows: Row[], columns: string[], currency: string}} Sheet A palette to be edited. */

export const FINISHES = ["opaque", "matte", "transparent", "metallic", "lustre"];
/** The columns that every palette has, and those that are left out where no colour fills them. */
const NEEDED = /** @type {const} */ (["code", "name", "hex"]);
const AMOUNTS = /** @type {const} */ (["grams", "per_gram", "price", "per_pack"]);
const OPTIONAL = /** @type {const} */ (["finish", ...AMOUNTS]);
/** The largest amount that the program takes. */
const MOST = 1e6;

/** What a wrong amount is told. @type {Record<typeof AMOUNTS[number], string>} */
const AMOUNT_HINTS = {
  grams: "From 0, such as 2.5; empty if you have enough",
  per_gram: "Above 0, such as 200",
  price: "From 0, such as 0.40",
  per_pack: "Above 0, such as 7.5",
};

/**
 * The rows of a palette that the program has read.
 * @param {{colours: import("../answers.d.ts").PaletteColourReport[], columns: string[],
 *   currency: string | null}} palette
 * @returns {Sheet}
 */
export function sheetOf({ colours, columns, currency }) {
  const text = (/** @type {string | number | null} */ cell) => (cell === null ? "" : String(cell));
  const rows = colours.map((colour, nth) => ({
    key: `row ${nth}`,
    code: colour.code,
    name: colour.name,
    hex: colour.hex,
    finish: text(colour.finish),
    grams: text(colour.grams),
    per_gram: text(colour.per_gram),
    price: text(colour.price),
    per_pack: text(colour.per_pack),
    extra: columns.map((head) => String(colour.extra[head] ?? "")),
  }));
  return { rows, columns, currency: currency ?? "" };
}

/**
 * The palette's file.
 * @param {Sheet} sheet whose rows have no faults
 */
export function sheetText({ rows, columns, currency }) {
  const filled = OPTIONAL.filter((field) => rows.some((row) => row[field] !== ""));
  const fields = [...NEEDED, ...filled];
  const priced = currency ? [currency] : [];
  const heads = [...fields, ...(currency ? ["currency"] : []), ...columns];
  const lines = rows.map((row) => [...fields.map((field) => row[field]), ...priced, ...row.extra]);
  return [heads, ...lines].map((cells) => `${cells.map(quoted).join(",")}\n`).join("");
}

/**
 * A cell, in quotes where it needs them (RFC 4180).
 * @param {string} cell
 */
function quoted(cell) {
  return /[,"\n\r]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell;
}

/**
 * A field as it is written, whatever way it was typed: `#2f5d50`, `2,5`.
 * @param {Field} field
 * @param {string} typed
 */
export function tidied(field, typed) {
  const text = typed.trim();
  if (field === "hex") {
    const digits = text.replace(/^#/, "");
    return /^[0-9a-f]{6}$/i.test(digits) ? digits.toUpperCase() : text;
  }
  const isAmount = AMOUNTS.some((amount) => amount === field);
  const plain = text.replace(",", ".");
  return isAmount && /^(\d+\.?\d*|\.\d+)$/.test(plain) ? String(Number(plain)) : text;
}

/**
 * What is wrong with a row.
 * @param {Row} row
 * @param {string | undefined} owner the name of another colour that has its code
 * @returns {Faults}
 */
export function faultsOf(row, owner) {
  /** @type {Faults} */
  const faults = {};
  if (!row.code) faults.code = "Give it a code";
  else if (owner !== undefined) faults.code = `Taken by ${owner}`;
  if (!row.name) faults.name = "Give it a name";
  if (!/^[0-9A-F]{6}$/.test(row.hex)) faults.hex = "Six hex digits, such as 2F5D50";
  if (row.finish && !FINISHES.includes(row.finish)) faults.finish = FINISHES.join(", ");
  for (const amount of AMOUNTS) {
    if (row[amount] && !isAmountFor(amount, row[amount])) faults[amount] = AMOUNT_HINTS[amount];
  }
  return faults;
}

/**
 * @param {typeof AMOUNTS[number]} amount
 * @param {string} text
 */
function isAmountFor(amount, text) {
  const value = Number(text);
  if (!/^[\d.e-]+$/.test(text) || !(value >= 0 && value <= MOST)) return false;
  return value > 0 || !amount.startsWith("per_");
}

/** What a currency may be: 1 to 5 letters or signs. */
export const CURRENCY = /^[\p{L}$£€¥₹₩₺₽₴₫₦₱฿.]{0,5}$/u;

/**
 * A code for a new colour: the last one's, counted on.
 * @param {Row[]} rows
 */
export function nextCode(rows) {
  const codes = new Set(rows.map(({ code }) => code));
  const [, stem = "mine-", digits = "0"] = /^(.*?)(\d+)$/.exec(rows.at(-1)?.code ?? "") ?? [];
  for (let number = Number(digits) + 1; ; number++) {
    const code = stem + String(number).padStart(digits.length, "0");
    if (!codes.has(code)) return code;
  }
}
