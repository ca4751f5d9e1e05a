// Files in and out: choosing, dropping, saving, handing on.

import { get } from "./dom.js";

/** Most that the program takes, in bytes; it says so too, but a file this large need not travel first. */
export const MOST = { picture: 64 << 20, palette: 4 << 20, chart: 64 << 20 };

/** What the program can hand on, in plain words, the most wanted first. @type {Record<string, string>} */
export const KINDS = {
  pdf: "Printed pattern",
  page: "Page to follow while weaving",
  rows: "Rows in words",
  png: "Flat chart, picture",
  svg: "Flat chart, drawing",
  beads: "Beads as they look",
  seen: "The band from afar",
  ring: "The ring as worn",
  turntable: "The ring turning",
  "kit-text": "Kit in words",
  "kit-csv": "Kit as a table",
  check: "Worth a look, in words",
  sizes: "Other ring sizes",
  chart: "Chart file",
};

/** Documents for other programs. @type {Record<string, string>} */
export const DOCUMENTS = {
  "weave-json": "Rows, pass by pass",
  "kit-json": "Kit",
  "check-json": "Worth a look",
  "sizes-json": "Ring sizes, a table",
  "fit-json": "Rows round the finger",
  "near-json": "How near the picture",
  "palette-json": "Palette and its pairs",
  schema: "Schema of charts",
  "schema-weave": "Schema of rows",
};

/** What a file is, by its name and type. @param {File} file @returns {"picture" | "palette" | "chart"} */
export function kindOf(file) {
  if (/\.json$/i.test(file.name) || file.type === "application/json") return "chart";
  if (/\.(csv|gpl)$/i.test(file.name) || file.type === "text/csv") return "palette";
  return "picture";
}

/** Lets a person choose a file. @param {string} id @returns {Promise<File | null>} */
export function choose(id) {
  const input = get(id, HTMLInputElement);
  input.value = "";
  return new Promise((done) => {
    input.onchange = () => done(input.files?.[0] ?? null);
    input.oncancel = () => done(null);
    input.click();
  });
}

/** Lets files be dropped anywhere on the page. @param {(file: File) => void} dropped */
export function catchDrops(dropped) {
  document.addEventListener("dragover", (event) => {
    if (!event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault();
    document.body.classList.add("dropping-now");
  });
  document.addEventListener("dragleave", (event) => {
    if (!event.relatedTarget) document.body.classList.remove("dropping-now");
  });
  document.addEventListener("drop", (event) => {
    document.body.classList.remove("dropping-now");
    const file = event.dataTransfer?.files[0];
    if (!file) return;
    event.preventDefault();
    dropped(file);
  });
}

/** Hands bytes to the browser to be stored under a name. @param {Blob} blob @param {string} name */
export function download(blob, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}

/** A file that was saved before and can be written again without asking. @type {any} */
let place = null;

/** Forgets where the last chart was saved: another one is on the mat. */
export function elsewhere() {
  place = null;
}

/** Saves a chart: into a file the person chooses where the browser can, else as a download. False if she thinks better of it.
 * @param {string} text @param {string} name @returns {Promise<string | false>} the file's name */
export async function save(text, name) {
  const pick = /** @type {any} */ (window).showSaveFilePicker;
  if (typeof pick === "function") {
    try {
      place ??= await pick({ suggestedName: name, types: [{ description: "Chart", accept: { "application/json": [".json"] } }] });
      const file = await place.createWritable();
      await file.write(text);
      await file.close();
      return place.name;
    } catch (cause) {
      place = null;
      if (cause instanceof DOMException && cause.name === "AbortError") return false;
    }
  }
  download(new Blob([text], { type: "application/json" }), name);
  return name;
}

/** A file's name made of words. @param {string} words @param {string} ending */
export function named(words, ending) {
  const plain = words
    .trim()
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, "-")
    .replace(/^-+|-+$/g, "");
  // Cut between letters: one beyond the first plane has two halves.
  return `${[...plain].slice(0, 60).join("") || "band"}.${ending}`;
}
