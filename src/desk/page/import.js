// Pictures, palettes, charts and stored work are opened.

import { cancel, requestJson } from "./api.js";
import { autosave, reportRefusal } from "./autosave.js";
import { readChart } from "./chart.js";
import { cancelCharting } from "./chart-request.js";
import { chartPicture, optionsChanged } from "./charting.js";
import { defaultColour, suggestColours } from "./colours.js";
import { openChart, refresh, run } from "./commands.js";
import { hasAllColours, paletteText } from "./chart-palette.js";
import { cropOf } from "./crop.js";
import { announce, element, get, valueOf } from "./dom.js";
import {
  baseName,
  chooseFile,
  downloadJson,
  fileKind,
  forgetSavedFile,
  MAX_BYTES,
} from "./files.js";
import { counted, number } from "./format.js";
import { History } from "./history.js";
import { clearError, showError } from "./notices.js";
import { keepDesign } from "./design-store.js";
import { fieldsOf, fillFields } from "./options.js";
import { keepPalette, knownPalettes, nameOfCopy } from "./own-palettes.js";
import { renderPaletteDialog } from "./palette.js";
import { withProgress } from "./progress.js";
import { forgetProposals, proposeLater } from "./proposals.js";
import { renderAll, renderBandFields, renderPalette, renderPicture } from "./render.js";
import { sendPalette, sendPicture, withErrors } from "./requests.js";
import { currentChart, isUnsaved, newDesignId, state } from "./state.js";
import * as storage from "./storage.js";
import { renderMessages } from "./summary.js";
import { canvas, cropFrame, tools } from "./views.js";
import { markCharted } from "./waiting.js";

/** @typedef {import("./chart.js").Chart} Chart @typedef {import("./chart.js").Colour} Colour */
/** @typedef {import("./state.js").Palette} Palette */
/** @typedef {import("./crop.js").Picture} Picture */

/** Counts what is opened: one that took longer to arrive than a newer one is dropped. */
const opened = { last: 0, shown: 0 };

/** The report on the last photo of beads. @type {{name: string, text: string} | null} */
let photoReport = null;

/**
 * Whether what was opened as number `nth` is still wanted; if so, it is shown.
 * @param {number} nth
 */
function isNewest(nth) {
  if (nth < opened.shown) return false;
  opened.shown = nth;
  cancelCharting();
  return true;
}

/**
 * Opens a file, whatever it holds.
 * @param {File} file
 */
export async function openFile(file) {
  // Stored work and palettes come first.
  if (!state.isReady) {
    await new Promise((done) => document.addEventListener("ready", done, { once: true }));
  }
  const kind = fileKind(file);
  if (file.size > MAX_BYTES[kind]) {
    const what = `the file ${file.name} has ${number(Math.round(file.size / 1e6))} MB`;
    const most = MAX_BYTES[kind] >> 20;
    showError({ what, hint: `a ${kind} can have up to ${most} MB; make it smaller first` });
    return;
  }
  const nth = ++opened.last;
  if (kind === "picture") await openPicture(file.name, await file.arrayBuffer(), nth);
  if (kind === "palette") await choosePalette(file.name, await file.text());
  if (kind === "chart") await openChartText(file.name, await file.text(), nth);
}

/**
 * Opens a picture and charts it. Where it is the one that the open chart was made of, the chart
 * stays, to be compared or refined.
 * @param {string} name
 * @param {ArrayBuffer} bytes
 * @param {number} nth
 */
async function openPicture(name, bytes, nth) {
  announce(`Reading ${name}`);
  const answer = await withErrors(() => sendPicture({ name, bytes }), { about: name });
  if (!answer) announce(`${name} could not be read`);
  if (!answer || !isNewest(nth)) return;
  clearError();
  const made = state.history?.chart.made;
  const source = !state.picture && made?.sha256 === answer.id ? made : undefined;
  const { id, width, height } = answer;
  state.picture = { name, bytes, id, width, height };
  state.isSourcePicture = source !== undefined;
  forgetProposals();
  cropFrame.show(state.picture, source ? cropOf(name, source.options.crop) : null);
  renderPicture();
  if (source) fillFields(fieldsOf(source.options));
  markCharted();
  if (!(await storage.storePicture({ name, bytes }))) reportRefusal();
  if (nth !== opened.shown) return;
  if (!source) return chartPicture("button");
  refresh([]);
  announce(`${name} is the picture of this chart; the chart stays as it is`);
}

/** Removes the picture; the chart stays. */
export function removePicture() {
  cancelCharting();
  state.picture = null;
  state.isSourcePicture = false;
  cropFrame.show(null, null);
  forgetProposals();
  renderPicture();
  void storage.storePicture(null);
  void autosave();
}

/**
 * A palette as the server reads it; null if it cannot be read.
 * @param {string} file
 * @param {string} text
 * @returns {Promise<Palette | null>}
 */
export async function readPalette(file, text) {
  const answer = await withErrors(() => sendPalette(file, text), { about: file });
  if (!answer) {
    announce(`${file} could not be read`);
    return null;
  }
  return {
    id: answer.id,
    name: answer.name ?? baseName(file),
    file,
    text,
    colours: answer.colours,
    columns: answer.columns,
    currency: answer.currency,
  };
}

/** @param {Palette} palette */
export function usePalette(palette) {
  state.palette = palette;
  // Added colours that the palette has too are taken from it.
  state.addedColours = state.addedColours.flatMap(({ code }) =>
    palette.colours.filter((colour) => colour.code === code),
  );
  renderPalette();
}

/**
 * Opens a palette; the chart stays.
 * @param {string} name
 * @param {string} text
 */
export async function openPaletteText(name, text) {
  const palette = await readPalette(name, text);
  if (!palette) return null;
  clearError();
  usePalette(palette);
  return palette;
}

/**
 * Opens a palette and charts the picture again in its colours.
 * @param {string} name
 * @param {string} text
 */
export async function choosePalette(name, text) {
  const palette = await openPaletteText(name, text);
  if (!palette) return;
  announce(`${palette.name}: ${counted(palette.colours.length, "colour")}`);
  if (state.history) {
    suggestColours();
    refresh([]);
  }
  renderPaletteDialog();
  optionsChanged();
}

/**
 * Lets the user choose a photo of bead piles, which becomes the palette and is kept in the browser.
 * @returns {Promise<File | undefined>} the photo; undefined if it is none of beads
 */
export async function choosePalettePhoto() {
  const file = await chooseFile("pick-photo");
  if (!file) return undefined;
  announce(`Reading ${file.name}`);
  const bytes = await file.arrayBuffer();
  /** @type {Record<string, string>} */
  const query = { name: file.name };
  for (const id of ["grid", "spots", "white"]) if (valueOf(id)) query[id] = valueOf(id);
  const read = () => requestJson("photo", { query, bytes, channel: "photo" });
  const answer = await withProgress(
    `Reading ${file.name}`,
    () => withErrors(read, { about: file.name }),
    () => cancel("photo"),
  );
  if (!answer) {
    announce(`${file.name} could not be read`);
    return undefined;
  }
  const name = answer.name.replace(/\.csv$/i, "");
  photoReport = { name: `${name}-seen.json`, text: answer.document };
  element("photo-report").hidden = false;
  renderMessages("photo-warnings", answer.doubts);
  if (answer.doubts.length) get("photo-options", HTMLDetailsElement).open = true;
  const palette = { file: nameOfCopy(answer.name), text: answer.text };
  if (!(await keepPalette(palette))) reportRefusal();
  await choosePalette(palette.file, palette.text);
  return file;
}

/** Saves the report on the last photo of beads, for other programs. */
export function savePhotoReport() {
  if (photoReport) downloadJson(photoReport.text, photoReport.name);
}

/**
 * Opens a chart. One that is open and not saved can be brought back by undo.
 * @param {string} name
 * @param {string} text
 * @param {number} [nth]
 * @param {string} [file] the name of its file; empty if it has none yet
 */
export async function openChartText(name, text, nth = ++opened.last, file = name) {
  const answer = await withErrors(() => requestJson("read", { query: { name }, bytes: text }), {
    about: name,
  });
  if (!answer) return announce(`${name} could not be read`);
  const chart = readChart(answer.text);
  const palette = await paletteOf(chart, name);
  await keepDesign();
  if (!isNewest(nth)) return;
  clearError();
  removePicture();
  if (palette) usePalette(palette);
  if (state.history && isUnsaved()) openOver(chart, { name, file });
  else {
    openChart(chart, { text: answer.text, file });
    state.design = newDesignId();
  }
  state.colour = defaultColour(chart);
  renderBandFields(chart);
  renderAll();
  announce(`${name}: ${counted(chart.beads.length, "bead")}`);
}

/**
 * The palette that a chart brings: the one that it was made with, if it is among those of the
 * program and not in use; where the one in use does not have its colours, its own colours.
 * @param {Chart} chart
 * @param {string} file
 */
function paletteOf(chart, file) {
  const wanted = chart.made.options.palette;
  if (hasAllColours(state.palette, chart)) return null;
  const known = knownPalettes().find((each) => baseName(each.name) === wanted);
  if (known && state.palette?.name !== wanted) return readPalette(known.name, known.text);
  return readPalette(`colours of ${baseName(file)}.csv`, paletteText(chart.colours));
}

/**
 * Opens a chart over one that is not saved.
 * @param {Chart} chart
 * @param {{name: string, file: string}} names what it is called, and the name of its file
 */
function openOver(chart, { name, file }) {
  run({ kind: "chart", from: currentChart(), to: chart }, `${name} opened`);
  const entry = state.history?.done.at(-1);
  const design = newDesignId();
  if (entry) entry.file = { from: state.file, to: file };
  if (entry) entry.design = { from: state.design, to: design };
  Object.assign(state, { file, design });
  state.notes = [];
  state.savedEntry = entry;
  forgetSavedFile();
}

/** Lets the user choose a chart file. */
export async function chooseChart() {
  const file = await chooseFile("pick-chart");
  if (file) await openFile(file);
}

/** Lets the user choose a picture. */
export async function choosePicture() {
  const file = await chooseFile("pick-picture");
  if (file) await openFile(file);
}

/** Lets the user choose a palette file. */
export async function choosePaletteFile() {
  const file = await chooseFile("pick-palette");
  if (file) await openFile(file);
}

/** Begins a new design with a plain band. */
export async function openPlainBand() {
  await keepDesign();
  removePicture();
  await chartPicture("button");
  if (!state.history) return;
  const { title: _title, notes: _notes, ...chart } = currentChart();
  openChart(chart, { text: "", file: "" });
  state.design = newDesignId();
}

/**
 * Opens stored work; false if something newer was opened.
 * @param {{id: string, work: any}} stored
 * @param {{isSlot: boolean}} [how] whether it is a slot, which the page holds and stores in from
 *   now on; else the work comes into the slot in use
 */
export async function openStoredWork({ id, work }, { isSlot = true } = { isSlot: true }) {
  const nth = ++opened.last;
  const palette = work.palette ? await readPalette(work.palette.file, work.palette.text) : null;
  const picture = work.picture ? await storedPicture(id) : null;
  // The work that is open stays in its slot.
  await autosave();
  if (!isNewest(nth)) return false;
  if (isSlot) storage.useSlot(id);
  else void storage.storePicture(picture);
  if (palette) usePalette(palette);
  restoreChart(work);
  suggestColours();
  state.picture = picture;
  state.isSourcePicture = work.isSourcePicture === true && picture !== null;
  cropFrame.show(picture, work.crop);
  renderPicture();
  canvas.isFitted = true;
  forgetProposals();
  refresh();
  proposeLater();
  return true;
}

/**
 * Takes chart, history and choices from stored work.
 * @param {any} work
 */
function restoreChart(work) {
  const history = new History(work.chart);
  history.done = work.done;
  history.undone = work.undone;
  const { savedAfter } = work;
  Object.assign(state, {
    history,
    addedColours: work.addedColours,
    keptColours: new Set(work.keptColours),
    excludedColours: new Set(work.excludedColours),
    sortSwatches: true,
    facts: null,
    originalText: work.originalText,
    // Where it is not known which edit was saved, none of them is.
    savedEntry: savedAfter === 0 ? null : savedAfter > 0 ? work.done[savedAfter - 1] : {},
    file: work.file,
    design: work.design ?? newDesignId(),
    colour: work.colour,
    notes: work.notes,
    chartedWith: work.chartedWith ?? null,
  });
  fillFields(work.options);
  forgetSavedFile();
  tools.mirrors = work.mirrors;
}

/**
 * The picture of stored work, which the server reads again.
 * @param {string} id of the slot
 * @returns {Promise<Picture | null>}
 */
async function storedPicture(id) {
  const picture = await storage.readPicture(id);
  if (!picture) return null;
  const answer = await withErrors(() => sendPicture(picture), { about: picture.name });
  if (!answer) return null;
  const { width, height } = answer;
  return { ...picture, id: answer.id, width, height };
}

/**
 * Offers unsaved work that is stored in a slot, which this page holds.
 * @param {storage.Slot} slot
 */
export function offerStoredWork(slot) {
  const { chart, file } = slot.work;
  const name = chart.title ?? (file || "an untitled band");
  const when = new Date(slot.when).toLocaleString("en-GB", {
    dateStyle: "medium",
    timeStyle: "short",
  });
  element("recovery-text").textContent = `There is unsaved work on ${name} from ${when}.`;
  element("recovery").hidden = false;
  element("recovery-open").onclick = () => void exchangeWork(slot);
  element("recovery-dismiss").onclick = () => {
    element("recovery").hidden = true;
    void storage.releaseSlot(slot.id);
  };
}

/**
 * Opens the work of another slot; what was open is offered too if it is not saved.
 * @param {storage.Slot} slot
 */
async function exchangeWork(slot) {
  element("recovery").hidden = true;
  const before = storage.currentSlot();
  if (!(await openStoredWork(slot))) return offerStoredWork(slot);
  announce("Your unsaved work is open again");
  await offerIfUnsaved(before);
}

/**
 * Offers what is stored in a slot if it is not saved; else releases the slot.
 * @param {string} id
 */
async function offerIfUnsaved(id) {
  const slot = await storage.readSlot(id);
  if (slot?.unsaved) offerStoredWork(slot);
  else await storage.releaseSlot(id);
}

/**
 * Another page has released a slot: unsaved work in it is offered here.
 * @param {string} id
 */
export async function offerReleasedWork(id) {
  if (element("recovery").hidden && (await storage.holdSlot(id))) await offerIfUnsaved(id);
}
