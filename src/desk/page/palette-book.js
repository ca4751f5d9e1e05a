// The palette that is being edited: its rows, undo, and what follows from each change: the palette
// is kept in the browser, and the band takes its colours.

import { autosave } from "./autosave.js";
import { beadCounts, chartColour, isSameColour } from "./chart.js";
import { optionsChanged } from "./charting.js";
import { suggestColours } from "./colours.js";
import { refresh, run } from "./commands.js";
import { announce } from "./dom.js";
import { counted } from "./format.js";
import { readPalette, usePalette } from "./import.js";
import * as lattice from "./lattice.js";
import { forgetPalette, isOwn, keepPalette, moveTicks, nameOfCopy } from "./own-palettes.js";
import { renderPaletteDialog } from "./palette.js";
import { faultsOf, sheetOf, sheetText } from "./palette-file.js";
import { currentChart, state } from "./state.js";

/** @typedef {import("./palette-file.js").Row} Row */
/** @typedef {import("./palette-file.js").Faults} Faults */
/** @typedef {import("./chart.js").Colour} Colour */
/**
 * @typedef {object} Draft the palette as it is being edited
 * @property {Row[]} rows
 * @property {string} currency
 * @property {string} file its name
 */

/** What the band's history says of colours that changed with the palette. */
const FOLLOWED = "colours changed with the palette";

const book = {
  /** The palette that the rows are of. @type {import("./state.js").Palette | null} */
  palette: null,
  /** @type {Draft} */
  draft: { rows: [], currency: "", file: "" },
  /** The rows as they were when they last had no faults, by their keys. @type {Map<string, Row>} */
  sound: new Map(),
  /** @type {string[]} */
  columns: [],
  /** @type {Map<string, Faults>} */
  faults: new Map(),
  /** The file in which the browser keeps it; empty until something has changed. */
  kept: "",
  /** The file by whose name colours are ticked as in stock. */
  ticked: "",
  /** @type {{draft: Draft, label: string}[]} */
  past: [],
  /** @type {{draft: Draft, label: string}[]} */
  future: [],
  keys: 0,
  /** @type {Promise<void> | null} */
  saving: null,
};

/** The palette as it is being edited. */
export function draft() {
  openBook();
  return book.draft;
}

/** What can be undone and redone. */
export function bookSteps() {
  return { undo: book.past.at(-1)?.label, redo: book.future.at(-1)?.label };
}

/** Takes up the palette in use, unless it is the one that is being edited. */
function openBook() {
  const { palette } = state;
  if (!palette || palette === book.palette || book.saving) return;
  const { rows, columns, currency } = sheetOf(palette);
  const { file, text } = palette;
  const kept = isOwn(file, text) ? file : "";
  Object.assign(book, { palette, columns, kept, ticked: file, past: [], future: [] });
  book.draft = { rows, currency, file };
  book.sound = new Map(rows.map((row) => [row.key, row]));
  book.faults = new Map();
}

/** What is wrong with each row, by its key. */
export function bookFaults() {
  return book.faults;
}

/**
 * Checks the rows. A row that is being changed keeps its last sound code until it has another;
 * where it gives one up, a row that waits for it is checked again.
 * @param {Row[]} rows
 */
function checkRows(rows) {
  const keys = new Set(rows.map(({ key }) => key));
  const sound = new Map([...book.sound].filter(([key]) => keys.has(key)));
  /** @type {Map<string, Row>} */
  const holders = new Map([...sound.values()].map((row) => [row.code, row]));
  /** @type {Map<string, Faults>} */
  const faults = new Map();
  for (let isStable = false; !isStable;) {
    isStable = true;
    for (const row of rows) {
      const holder = holders.get(row.code);
      const found = faultsOf(row, holder?.key === row.key ? undefined : holder?.name);
      faults.set(row.key, found);
      const before = sound.get(row.key);
      if (before === row || Object.keys(found).length) continue;
      if (before) holders.delete(before.code);
      holders.set(row.code, row);
      sound.set(row.key, row);
      isStable = false;
    }
  }
  book.faults = faults;
  book.sound = sound;
}

/**
 * Changes a field of a row.
 * @param {string} key
 * @param {Partial<Row>} change
 * @param {string} label
 */
export function changeRow(key, change, label) {
  const rows = book.draft.rows.map((row) => (row.key === key ? { ...row, ...change } : row));
  changeDraft({ rows }, label);
}

/**
 * Adds a colour at the end, or below a row.
 * @param {Partial<Row>} given
 * @param {string} label
 * @returns {string} its key
 */
export function addRow(given, label) {
  const key = `new ${++book.keys}`;
  const blank = { code: "", name: "", hex: "8A8F94", finish: "", grams: "", per_gram: "" };
  const extra = book.columns.map(() => "");
  const row = { ...blank, price: "", per_pack: "", extra, ...given, key };
  changeDraft({ rows: [...book.draft.rows, row] }, label);
  return key;
}

/**
 * Moves a row to another place.
 * @param {string} key
 * @param {number} to
 */
export function moveRow(key, to) {
  const { rows } = book.draft;
  const row = rows.find((each) => each.key === key);
  if (!row || to < 0 || to >= rows.length || rows[to] === row) return;
  const others = rows.filter((each) => each !== row);
  changeDraft({ rows: others.toSpliced(to, 0, row) }, `${row.name} moved`);
}

/**
 * Removes a row; refused while the band has beads of its colour.
 * @param {string} key
 * @returns {Refusal | null}
 */
export function removeRow(key) {
  const { rows } = book.draft;
  const row = rows.find((each) => each.key === key);
  if (!row) return null;
  const sound = book.sound.get(key);
  const refusal = sound ? usedIn(sound) : null;
  if (refusal) return refusal;
  if (rows.length === 1) return { text: "A palette needs at least one colour.", beads: [] };
  changeDraft({ rows: rows.filter((each) => each !== row) }, `${row.name || "colour"} removed`);
  return null;
}

/** @typedef {{text: string, beads: number[]}} Refusal Why a colour has to stay, and its beads. */

/**
 * Where the band has beads of a colour; null if it has none.
 * @param {Row} row
 * @returns {Refusal | null}
 */
function usedIn({ code, name }) {
  if (!state.history) return null;
  const chart = currentChart();
  const nth = chart.colours.findIndex((colour) => colour.code === code);
  const count = nth < 0 ? 0 : beadCounts(chart)[nth];
  if (!count) return null;
  const beads = [...chart.beads.keys()].filter((bead) => chart.beads[bead] === nth);
  const rows = beads.map((bead) => lattice.place(chart, bead).row);
  const [first, last] = [Math.min(...rows), Math.max(...rows)];
  const where = first === last ? `in row ${first}` : `from row ${first} to ${last}`;
  const text =
    `The band has ${counted(count, "bead")} of ${name}, ${where}. ` +
    "Replace them on the band first, then remove the colour.";
  return { text, beads };
}

/** @param {string} currency */
export function changeCurrency(currency) {
  changeDraft({ currency }, currency ? `prices in ${currency}` : "currency removed");
}

/** @param {string} name without its ending */
export function renamePalette(name) {
  changeDraft({ file: `${name}.csv` }, `palette named ${name}`);
}

/**
 * Changes the palette; what is not the user's own becomes a copy under a new name.
 * @param {Partial<Draft>} change
 * @param {string} label
 */
function changeDraft(change, label) {
  openBook();
  if (!book.kept) {
    book.kept = nameOfCopy(book.draft.file);
    book.draft = { ...book.draft, file: book.kept };
  }
  book.past.push({ draft: book.draft, label });
  book.future = [];
  useDraft({ ...book.draft, ...change });
}

/** Undoes the last change; refused where that would remove a colour that the band has. */
export function undoBook() {
  return step(book.past, book.future, "Undone");
}

export function redoBook() {
  return step(book.future, book.past, "Redone");
}

/**
 * @param {{draft: Draft, label: string}[]} from
 * @param {{draft: Draft, label: string}[]} to
 * @param {string} word
 * @returns {Refusal | null}
 */
function step(from, to, word) {
  const last = from.at(-1);
  if (!last) return null;
  const stays = new Set(last.draft.rows.map(({ key }) => key));
  const removed = [...book.sound.values()].filter(({ key }) => !stays.has(key));
  const refusal = removed.map(usedIn).find((each) => each !== null);
  if (refusal) return refusal;
  from.pop();
  to.push({ draft: book.draft, label: last.label });
  useDraft(last.draft);
  announce(`${word}: ${last.label}`);
  return null;
}

/** @param {Draft} next */
function useDraft(next) {
  const before = book.sound;
  book.draft = next;
  checkRows(next.rows);
  follow(before, book.sound);
  book.saving ??= save();
}

/**
 * What goes by a colour's code follows it: the band, and what is kept in or left out.
 * @param {Map<string, Row>} before
 * @param {Map<string, Row>} after
 */
function follow(before, after) {
  /** @type {Map<string, string>} */
  const codes = new Map();
  for (const [key, { code }] of before) codes.set(code, after.get(key)?.code ?? code);
  const moved = (/** @type {Set<string>} */ set) =>
    new Set([...set].map((code) => codes.get(code) ?? code));
  state.keptColours = moved(state.keptColours);
  state.excludedColours = moved(state.excludedColours);
  moveTicks(book.ticked, book.draft.file, codes);
  book.ticked = book.draft.file;
  if (!state.history) return;
  const rows = new Map([...before.values()].map((row) => [row.code, row]));
  const now = (/** @type {Colour} */ colour) => {
    const row = rows.get(colour.code);
    const next = row && isSameColour(row, colour) ? after.get(row.key) : undefined;
    return next ? chartColour(next) : colour;
  };
  if (state.colour) state.colour = now(state.colour);
  state.addedColours = state.addedColours.map(now);
  colourBand(currentChart().colours.map(now));
}

/**
 * The band takes the colours as they are now; several such edits in a row are one.
 * @param {Colour[]} to
 */
function colourBand(to) {
  const { history } = state;
  const from = currentChart().colours;
  const isSame = to.every(
    (colour, nth) =>
      isSameColour(colour, from[nth]) && (colour.finish ?? "") === (from[nth].finish ?? ""),
  );
  if (!history || isSame) return;
  // A colour of another palette may have the code by chance; then the band stays as it is.
  if (new Set(to.map(({ code }) => code)).size < to.length) return;
  const last = history.done.at(-1);
  if (last?.label === FOLLOWED && last.edit.kind === "colours" && last !== state.savedEntry) {
    history.undo();
    history.undone = [];
  }
  run({ kind: "colours", from: currentChart().colours, to }, FOLLOWED);
}

/** The rows without faults, in their order. */
function orderedRows() {
  return book.draft.rows.map(({ key }) => book.sound.get(key)).filter((row) => row !== undefined);
}

/** Has the program read the palette as it is now, and keeps it; again if it changes meanwhile. */
async function save() {
  for (let last = ""; ;) {
    const { file, currency } = book.draft;
    const text = sheetText({ rows: orderedRows(), columns: book.columns, currency });
    if (`${file}\n${text}` === last) break;
    last = `${file}\n${text}`;
    const isKept = keepPalette({ file, text });
    if (book.kept !== file) void forgetPalette(book.kept);
    book.kept = file;
    const palette = await readPalette(file, text);
    if (!(await isKept)) announce("This browser refuses to keep the palette; save it to a file");
    // Another palette was chosen meanwhile.
    if (state.palette !== book.palette) break;
    if (palette) showSaved(palette);
  }
  book.saving = null;
  renderPaletteDialog();
  optionsChanged();
  void autosave();
}

/** @param {import("./state.js").Palette} palette */
function showSaved(palette) {
  book.palette = palette;
  usePalette(palette);
  if (!state.history) return;
  suggestColours();
  refresh([]);
}

/** Waits until the palette is kept as it is now. */
export async function bookSaved() {
  while (book.saving) await book.saving;
}
