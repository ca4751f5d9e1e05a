// An own palette is deleted from the browser, and brought back.

import { element, onClick } from "./dom.js";
import { baseName } from "./files.js";
import { choosePalette } from "./import.js";
import { forgetPalette, isOwn, keepPalette, knownPalettes, ownPalettes } from "./own-palettes.js";
import { bookSaved } from "./palette-book.js";
import { state } from "./state.js";

/** @typedef {import("./own-palettes.js").OwnPalette} OwnPalette */

/** What was deleted last. @type {OwnPalette | null} */
let deleted = null;

/** Connects the buttons. */
export function listenToDeletion() {
  onClick("palette-delete", () => void deletePalette());
  onClick("palette-restore", () => void restorePalette());
  element("palette").addEventListener("close", () => {
    deleted = null;
    renderDeletion();
  });
}

/** Shows whether the palette can be deleted, and what was. */
export function renderDeletion() {
  const { palette } = state;
  element("palette-delete").hidden = !palette || !isOwn(palette.file, palette.text);
  const note = element("palette-deleted");
  note.hidden = deleted === null;
  const text = note.querySelector("span");
  if (text && deleted) text.textContent = `${baseName(deleted.file)} is deleted.`;
}

/** Deletes the palette in use; the first other one takes its place, the band stays. */
async function deletePalette() {
  await bookSaved();
  const file = state.palette?.file;
  deleted = ownPalettes().find((each) => each.file === file) ?? null;
  if (!deleted) return;
  await forgetPalette(deleted.file);
  const next = knownPalettes()[0];
  if (next) await choosePalette(next.name, next.text);
  renderDeletion();
  element("palette-restore").focus();
}

async function restorePalette() {
  if (!deleted) return;
  const { file, text } = deleted;
  await keepPalette(deleted);
  deleted = null;
  await choosePalette(file, text);
  element("palette-delete").focus();
}
