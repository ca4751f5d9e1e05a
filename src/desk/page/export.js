// Charts are saved, and files are made of them.

import { cancel, request } from "./api.js";
import { autosave } from "./autosave.js";
import { comparisonOptions } from "./compare.js";
import { announce, create, element, get, isChecked, valueOf } from "./dom.js";
import { DOCUMENTS, KINDS, VERBS } from "./export-kinds.js";
import { checkField } from "./field-errors.js";
import { chooseFile, download, downloadJson, saveChartFile } from "./files.js";
import { saveInFolder } from "./folder.js";
import { withLabels } from "./labels.js";
import { clearError } from "./notices.js";
import { bead, gauge, readOptions } from "./options.js";
import { withProgress } from "./progress.js";
import { renderAll } from "./render.js";
import { sendPicture, withErrors, withUploads } from "./requests.js";
import { readSizes, sizeTable } from "./ring-sizes.js";
import { chartText, currentChart, fileName, paletteId, state } from "./state.js";

/** @typedef {import("../answers.d.ts").ExportKind} Kind A kind of file that the server makes. */

/** Kinds of files that are texts to read. */
const TEXTS = ["check", "rows", "kit-text"];
/** Kinds of files with other sizes. */
const SIZED = ["sizes", "sizes-json", "pdf"];

/**
 * A cover picture that is not the charted one.
 * @type {{name: string, bytes: ArrayBuffer} | null}
 */
let coverFile = null;

/** Saves the chart. */
export async function saveChart() {
  if (!state.history) return;
  commitTyping();
  const last = state.history.done.at(-1) ?? null;
  const [text, wanted] = [chartText(), fileName()];
  const name = (await saveInFolder(text, wanted)) ?? (await saveChartFile(text, wanted));
  if (!name) return;
  state.file = name;
  state.savedEntry = last;
  renderAll();
  announce(`Saved as ${name}`);
  await autosave();
}

/** A field that is being edited takes its value now. */
function commitTyping() {
  const field = document.activeElement;
  if (!(field instanceof HTMLInputElement)) return;
  field.blur();
  field.focus();
}

/** Shows a button for each kind of file that the server makes, in its group. */
export function renderExportList() {
  for (const list of document.querySelectorAll("[data-exports]")) {
    if (!(list instanceof HTMLElement)) continue;
    const kinds = (list.dataset.exports ?? "").split(" ");
    const names = kinds.map((kind) => [kind, KINDS[kind]]);
    list.replaceChildren(...exportButtons(Object.fromEntries(names)));
  }
  element("document-list").replaceChildren(...exportButtons(DOCUMENTS));
}

/** @param {Record<string, string>} names */
function exportButtons(names) {
  const offered = state.setup.kinds;
  return Object.entries(names).flatMap(([name, label]) => {
    const kind = offered.find((each) => each.kind === name);
    return kind ? [exportButton(kind, label)] : [];
  });
}

/**
 * @param {Kind} kind
 * @param {string} label
 */
function exportButton(kind, label) {
  const extension = kind.ending.replace(/^.*\./, ".");
  const button = create(
    "button",
    { type: "button", "data-kind": kind.kind, "data-verb": VERBS[kind.kind] },
    create("span", {}, label),
    create("span", { class: "extension" }, extension),
  );
  button.addEventListener("click", () => {
    element("export-panel").hidePopover();
    void exportFile(kind);
  });
  return button;
}

/**
 * The options with the ring sizes that can be read, where some cannot.
 * @param {string} kind
 * @param {Record<string, unknown>} options
 */
async function withSizes(kind, options) {
  if (!SIZED.includes(kind) || options.sizes === undefined) return options;
  return { ...options, sizes: (await readSizes(String(options.sizes))).readable };
}

/**
 * A remark on the sizes that a set was made without.
 * @param {Kind} kind
 */
async function leftOut(kind) {
  if (kind.kind !== "sizes") return "";
  const table = await withErrors(() => sizeTable(exportOptions(kind)));
  const sizes = (table?.left_out ?? []).map(({ size }) => size);
  return sizes.length ? `, left out: ${sizes.join(", ")}` : "";
}

/** The fields with the settings of exports. */
function settingFields() {
  return /** @type {(HTMLInputElement | HTMLSelectElement)[]} */ ([
    ...element("export-options").querySelectorAll("input, select"),
  ]);
}

/**
 * The options for a kind of file: those that it takes and that are not at their default.
 * @param {Kind} kind
 */
function exportOptions({ kind, options }) {
  if (kind === "near-json") return comparisonOptions();
  const all = { ...settings(kind), ...gauge() };
  if (kind === "fit-json") {
    const { size, columns } = readOptions();
    Object.assign(all, { size, columns, bead: bead() });
  }
  if (kind === "palette-json") Object.assign(all, { below: valueOf("below") || undefined });
  // Only an odd count has such a turn.
  if (currentChart().columns % 2 === 0) delete all.odd_turn;
  // Not every design has other sizes, and its pattern is wanted all the same.
  if (kind === "pdf" && !isChecked("pattern-sizes")) {
    for (const option of ["sizes", "step", "nearest"]) delete all[option];
  }
  return Object.fromEntries(Object.entries(all).filter(([name]) => options.includes(name)));
}

/**
 * The settings for a kind of file as the fields say them.
 * @param {string} kind
 */
export function settings(kind) {
  /** @type {Record<string, unknown>} */
  const all = {};
  for (const field of settingFields()) {
    const { option, kinds } = field.dataset;
    if (!option || (kinds && !kinds.split(" ").includes(kind))) continue;
    const value = field.value.trim();
    if (field.type === "checkbox") {
      all[option] = (field instanceof HTMLInputElement && field.checked) || undefined;
    } else if (value) {
      all[option] = field.type === "number" ? Number(value) : value;
    }
  }
  return all;
}

/** Lets the user choose a cover picture when they ask for another one. */
export async function chooseCover() {
  const select = get("cover", HTMLSelectElement);
  if (select.value !== "other") return;
  const file = await chooseFile("pick-cover");
  if (file) coverFile = { name: file.name, bytes: await file.arrayBuffer() };
  if (!coverFile) select.value = "";
  select.options[2].text = coverFile ? coverFile.name : "another picture …";
}

/** The id of the cover picture, which the server has after this. */
async function coverPicture() {
  const cover = valueOf("cover");
  if (cover === "current") return state.picture?.id;
  if (cover !== "other" || !coverFile) return undefined;
  return (await sendPicture(coverFile)).id;
}

/**
 * Has the server make a file of a kind, by its name, and downloads it.
 * @param {string} name
 */
export async function exportKind(name) {
  const kind = state.setup.kinds.find((each) => each.kind === name);
  if (kind) await exportFile(kind);
}

/**
 * Has the server make a file and downloads it.
 * @param {Kind} kind
 */
async function exportFile(kind) {
  const made = await makeFile(kind);
  if (!made) return;
  download(made.blob, made.name);
  const remark = made.isPartial ? ", without stock: the palette does not have all colours" : "";
  announce(`${made.name} saved${remark}${await leftOut(kind)}`);
}

/**
 * Has the server make a file.
 * @param {Kind} kind
 * @returns {Promise<{blob: Blob, name: string, isPartial: boolean} | null>} null if it was not made
 */
async function makeFile(kind) {
  if (!isValid(kind)) return null;
  announce("Making the file …");
  // Where the palette lacks a colour, the file is made without saying what is in stock.
  const palette = state.facts?.missing ? undefined : paletteId();
  const name = fileName().replace(/\.json$/i, kind.ending);
  const send = () =>
    withUploads(async () => {
      const picture = await pictureFor(kind.kind);
      const options = await withSizes(kind.kind, exportOptions(kind));
      const body = { chart: chartText(), name: fileName(), options, palette, picture };
      return request("export", { query: { kind: kind.kind }, body, channel: "export" });
    });
  const errors = { part: "export-options", source: kind.kind };
  const ask = () => withErrors(send, errors);
  const answer = await withProgress(`Making ${name}`, ask, () => cancel("export"));
  if (!answer) {
    announce(`${name} was not made`);
    return null;
  }
  clearError(kind.kind);
  const file = stated(answer.headers.get("Content-Disposition") ?? "") ?? name;
  const isPartial = !palette && state.palette !== null;
  return { blob: await contentOf(answer, kind.kind), name: file, isPartial };
}

/**
 * The file that the server made; a text to read names the page's fields.
 * @param {Response} answer
 * @param {string} kind
 */
async function contentOf(answer, kind) {
  if (!TEXTS.includes(kind)) return answer.blob();
  const text = withLabels(await answer.text(), "export-options");
  return new Blob([text], { type: "text/plain;charset=utf-8" });
}

/** The printed pattern as it would be saved; null if it was not made. */
export async function printedPattern() {
  const kind = state.setup.kinds.find((each) => each.kind === "pdf");
  return kind ? makeFile(kind) : null;
}

/**
 * The id of the picture that a kind of file needs.
 * @param {string} kind
 */
async function pictureFor(kind) {
  if (kind === "pdf") return coverPicture();
  return kind === "near-json" ? state.picture?.id : undefined;
}

/**
 * Whether the settings for a kind of file are valid; the first that is not is pointed out.
 * @param {Kind} kind
 */
function isValid(kind) {
  const invalid = settingFields().find(
    (field) => !field.validity.valid && kind.options.includes(field.dataset.option ?? ""),
  );
  if (invalid) showInvalid(invalid);
  return !invalid;
}

/** The settings for the follow-along page; null if one of them is invalid. */
export function followOptions() {
  const page = state.setup.kinds.find(({ kind }) => kind === "page");
  if (!page) return {};
  return isValid(page) ? exportOptions(page) : null;
}

/**
 * The name of the file that the server states (RFC 6266).
 * @param {string} disposition
 */
function stated(disposition) {
  const encoded = /filename\*=UTF-8''([^;]+)/i.exec(disposition)?.[1];
  if (encoded) return decodeURIComponent(encoded);
  return /filename="([^"]+)"/i.exec(disposition)?.[1];
}

/**
 * Points out a setting that is invalid.
 * @param {HTMLInputElement | HTMLSelectElement} field
 */
function showInvalid(field) {
  const panel = element("export-panel");
  if (!panel.matches(":popover-open")) panel.showPopover();
  field.closest("details")?.setAttribute("open", "");
  checkField(field);
  field.focus();
}

/** Shows the documents that can be made of what is open. */
export function renderDocuments() {
  const { lastReport } = state;
  element("report-save").hidden = lastReport === null || lastReport.chart !== currentChart();
  const hide = (/** @type {string} */ kind, /** @type {boolean} */ isHidden) => {
    const button = element("document-list").querySelector(`[data-kind=${kind}]`);
    if (button instanceof HTMLElement) button.hidden = isHidden;
  };
  hide("near-json", state.picture === null);
  hide("fit-json", readOptions().size === undefined);
}

/** Saves the report on the chart that the server made last. */
export function saveLastReport() {
  if (!state.lastReport) return;
  const name = fileName().replace(/\.json$/i, "-made.json");
  downloadJson(state.lastReport.text, name);
  announce(`${name} saved`);
}
