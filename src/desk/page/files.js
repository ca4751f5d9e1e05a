// Files: choosing, dropping, downloading and saving them.

import { get } from "./dom.js";

/** The largest files that the server takes, in bytes, so that larger ones need not be sent. */
export const MAX_BYTES = { picture: 64 << 20, palette: 4 << 20, chart: 64 << 20 };

/**
 * What a file is, by its name and type.
 * @param {File} file
 * @returns {"picture" | "palette" | "chart"}
 */
export function fileKind(file) {
  if (/\.json$/i.test(file.name) || file.type === "application/json") return "chart";
  if (/\.(csv|gpl)$/i.test(file.name) || file.type === "text/csv") return "palette";
  return "picture";
}

/**
 * A file's name without its extension.
 * @param {string} name
 */
export function baseName(name) {
  return name.replace(/\.[^.]*$/, "");
}

/**
 * Lets the user choose a file; null if they cancel.
 * @param {string} id of the file input
 * @returns {Promise<File | null>}
 */
export function chooseFile(id) {
  const input = get(id, HTMLInputElement);
  input.value = "";
  return new Promise((done) => {
    input.onchange = () => done(input.files?.[0] ?? null);
    input.oncancel = () => done(null);
    input.click();
  });
}

/**
 * Accepts files that are dropped anywhere on the page.
 * @param {(file: File) => void} onDrop
 */
export function acceptDrops(onDrop) {
  const { classList } = document.body;
  document.addEventListener("dragover", (event) => {
    if (!event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault();
    classList.add("dragging-file");
  });
  document.addEventListener("dragleave", (event) => {
    if (!event.relatedTarget) classList.remove("dragging-file");
  });
  document.addEventListener("drop", (event) => {
    classList.remove("dragging-file");
    const file = event.dataTransfer?.files[0];
    if (!file) return;
    event.preventDefault();
    onDrop(file);
  });
}

/**
 * Downloads bytes under a name.
 * @param {Blob} blob
 * @param {string} name
 */
export function download(blob, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}

/**
 * Downloads a JSON document under a name.
 * @param {string} text
 * @param {string} name
 */
export function downloadJson(text, name) {
  download(new Blob([text], { type: "application/json" }), name);
}

/** The file that was saved last and can be written again without asking. @type {any} */
let savedFile = null;

/** Forgets where the last chart was saved: another chart is open. */
export function forgetSavedFile() {
  savedFile = null;
}

/** Whether the open chart has a file that can be written again. */
export function hasSavedFile() {
  return savedFile !== null;
}

/**
 * Saving goes to this file from now on.
 * @param {any} file as the File System Access API has it
 */
export function useSavedFile(file) {
  savedFile = file;
}

/**
 * Saves a chart: to a file that the user chooses where the browser can, else as a download.
 * @param {string} text
 * @param {string} name
 * @returns {Promise<string | null>} the file's name; null if the user cancels
 */
export async function saveChartFile(text, name) {
  const pick = /** @type {any} */ (window).showSaveFilePicker;
  if (savedFile || typeof pick === "function") {
    const types = [{ description: "Chart", accept: { "application/json": [".json"] } }];
    try {
      savedFile ??= await pick({ suggestedName: name, types });
      const file = await savedFile.createWritable();
      await file.write(text);
      await file.close();
      return savedFile.name;
    } catch (cause) {
      savedFile = null;
      if (cause instanceof DOMException && cause.name === "AbortError") return null;
    }
  }
  downloadJson(text, name);
  return name;
}

/**
 * A file's name made of words.
 * @param {string} words
 * @param {string} extension
 */
export function fileNameFrom(words, extension) {
  const plain = words
    .trim()
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, "-")
    .replace(/^-+|-+$/g, "");
  // Cut between code points, so that no character is halved.
  return `${[...plain].slice(0, 60).join("") || "band"}.${extension}`;
}
