// The user's own palettes, which the browser keeps. Those that come with the program, and files,
// stay as they are: what is edited is a copy.

import { baseName } from "./files.js";
import { state } from "./state.js";
import { forget, keep, readKept, readSetting, writeSetting } from "./storage.js";

/** @typedef {{file: string, text: string}} OwnPalette */

const PREFIX = "palette ";

/** The own palettes by their file's name. @type {Map<string, OwnPalette>} */
const own = new Map();

/** Reads the palettes that the browser keeps. */
export async function readOwnPalettes() {
  for (const palette of await readKept(PREFIX)) own.set(palette.file, palette);
}

/**
 * Every palette that can be chosen: the user's own ones, then those that came at the start.
 * @returns {{name: string, text: string}[]}
 */
export function knownPalettes() {
  const mine = [...own.values()].map(({ file, text }) => ({ name: file, text }));
  return [...mine, ...state.setup.palettes.filter(({ name }) => !own.has(name))];
}

/**
 * Whether a palette is the own one of that name, and not another one.
 * @param {string} file
 * @param {string} text
 */
export function isOwn(file, text) {
  return own.get(file)?.text === text;
}

/** The own palettes. @returns {OwnPalette[]} */
export function ownPalettes() {
  return [...own.values()];
}

/**
 * Keeps a palette; false if the browser refuses.
 * @param {OwnPalette} palette
 */
export function keepPalette(palette) {
  own.set(palette.file, palette);
  return keep(PREFIX + palette.file, palette);
}

/**
 * Forgets a palette.
 * @param {string} file
 */
export async function forgetPalette(file) {
  own.delete(file);
  await forget(PREFIX + file);
}

/**
 * The name of a copy of a palette: the palette's own, if no other has it.
 * @param {string} file
 */
export function nameOfCopy(file) {
  const stem = baseName(file);
  const names = new Set(knownPalettes().map(({ name }) => name));
  if (!names.has(`${stem}.csv`)) return `${stem}.csv`;
  for (let nth = 1; ; nth++) {
    const name = `my ${stem}${nth > 1 ? ` ${nth}` : ""}.csv`;
    if (!names.has(name)) return name;
  }
}

/**
 * What is wrong with a name for a palette; empty if nothing is.
 * @param {string} name
 * @param {string} file of the palette that is to have it
 */
export function nameFault(name, file) {
  if (!name) return "Give it a name";
  if (name.length > 100 || /[/\\\p{Cc}\p{Surrogate}]/u.test(name)) {
    return "Up to 100 letters, without / and \\";
  }
  const isTaken = knownPalettes().some((each) => each.name === `${name}.csv`);
  return isTaken && `${name}.csv` !== file ? "Another palette has this name" : "";
}

/**
 * What was ticked as in stock goes with a palette to its new name, and with a colour to its code.
 * @param {string} from
 * @param {string} to
 * @param {Map<string, string>} codes the new code of each old one
 */
export function moveTicks(from, to, codes) {
  const isSame = from === to && [...codes].every(([before, after]) => before === after);
  const ticks = readSetting(`owned in ${baseName(from)}`);
  if (isSame || !ticks) return;
  const moved = Object.entries(ticks).map(([code, isOwned]) => [codes.get(code) ?? code, isOwned]);
  writeSetting(`owned in ${baseName(to)}`, Object.fromEntries(moved));
}
