// Shows the state of the page: swatches, colour in use, tools, figures, problems, the form.

import { drawPile } from "./bead-drawing.js";
import { beadCounts, isSameColour } from "./chart.js";
import { readRecord } from "./chart-record.js";
import { extraColours, isInStock, plainColour } from "./colours.js";
import { cropOf } from "./crop.js";
import { announce, create, element, get } from "./dom.js";
import { baseName } from "./files.js";
import { counted, grams } from "./format.js";
import * as lattice from "./lattice.js";
import { fillFields } from "./options.js";
import { knownPalettes } from "./own-palettes.js";
import { currentChart, currentColour, isOffered, isUnsaved, state } from "./state.js";
import {
  chosenValue,
  problemBeads,
  renderFigures,
  renderNotes,
  renderProblems,
} from "./summary.js";
import { renderSwatches } from "./swatches.js";
import { canvas, cropFrame, handlers, tools } from "./views.js";
import { listed, waiting } from "./waiting.js";

/** @typedef {import("./chart.js").Chart} Chart @typedef {import("./chart.js").Colour} Colour */
/** @typedef {import("./state.js").PaletteColour} PaletteColour */
/** @typedef {import("./swatches.js").Swatch} Swatch */

/** More swatches than this are shown smaller. */
const MANY_SWATCHES = 12;
/** A band that is wider than this share of its rows leaves the swatches less room. */
const WIDE_BAND = 1 / 2.4;
/** Width of the pile of the colour in use, in CSS pixels, and how many beads it shows. */
const CURRENT_PILE = { size: 52, count: 40 };

/** Shows everything that depends on the chart. */
export function renderAll() {
  const { history } = state;
  if (!history) return;
  renderColours();
  renderCurrentColour();
  renderTools();
  renderFigures(history.chart, state.facts);
  renderNotes(state.notes);
  const crop = chosenValue(state.notes, "crop");
  cropFrame.showChosen(cropOf(state.picture?.name ?? "", crop));
  get("undo", HTMLButtonElement).disabled = !history.done.length;
  get("redo", HTMLButtonElement).disabled = !history.undone.length;
  const title = get("title", HTMLInputElement);
  if (document.activeElement !== title) title.value = history.chart.title ?? "";
  renderSaveState();
  renderFormFooter();
}

/** Says what becomes of beads that were set by hand when options change. */
export function renderFormFooter() {
  const isEdited = state.picture !== null && state.history?.isEdited() === true;
  const isWaiting = isEdited || state.isSourcePicture;
  element("edited-note").hidden = !isWaiting;
  element("edited-note").textContent = isEdited
    ? editedNote()
    : "This is the picture that the chart was made from. The chart stays as it is until you " +
      "click a button.";
  element("refine-chart").hidden = !isWaiting || !isOffered("refine");
  element("refine-chart").textContent = isEdited ? "Refine around my beads" : "Refine this chart";
  element("pin-field").hidden = element("refine-chart").hidden;
}

/** What becomes of beads that were set by hand, and of options that wait. */
function editedNote() {
  const { taken, left } = waiting();
  const notes = ["You changed beads by hand. Refining keeps them and chooses the others again."];
  if (taken.length) notes.push(`It takes ${listed(taken)}.`);
  if (left.length) {
    const them = left.length > 1 ? "them" : "it";
    notes.push(
      `${listed(left)}: waiting. Refining cannot take ${them}; charting the picture again does, ` +
        "without your beads.",
    );
  }
  return notes.join(" ");
}

/** Says where the work is stored; "in this browser" only once the browser has stored it. */
export function renderSaveState() {
  if (!state.history) return;
  const text = element("save-state");
  text.textContent = isUnsaved() ? unsavedState() : savedState();
  text.classList.toggle("unsaved", isUnsaved());
}

function unsavedState() {
  if (state.isStorageRefused) return "not saved";
  return state.isStored ? "kept in this browser, not saved to a file" : "storing …";
}

function savedState() {
  return state.history?.done.length || state.file ? "saved" : "no changes";
}

/** Shows a swatch for each colour of the chart and for those beside it. */
export function renderColours() {
  const chart = currentChart();
  const counts = beadCounts(chart);
  const keys = beadKeys();
  const needs = state.facts?.kit?.colours ?? [];
  const swatches = chart.colours.map((colour, nth) => {
    const need = needs.find((each) => each.code === colour.code);
    // What the server said of an earlier chart no longer holds.
    const isCurrent = need !== undefined && need.beads_each === counts[nth];
    return swatchOf(colour, {
      key: keys[nth] ?? "",
      count: counts[nth],
      grams: isCurrent ? need.grams : null,
      short: isCurrent ? (need.short_beads ?? 0) : 0,
    });
  });
  for (const colour of extraColours(chart)) {
    const known = state.palette?.colours.find((other) => other.code === colour.code);
    swatches.push(swatchOf(known ?? colour, { key: "", count: 0, grams: null, short: 0 }));
  }
  sortSwatches(swatches);
  const { classList } = element("workspace");
  classList.toggle("many-swatches", swatches.length > MANY_SWATCHES);
  classList.toggle("wide-band", chart.columns > chart.rows * WIDE_BAND);
  renderSwatches(swatches, (colour) => handlers.useColour(colour));
}

/**
 * The bead keys of the chart's colours in their order, as far as the server has sent them. A key
 * depends on the colours before it alone, so that added colours leave the others as they are.
 */
function beadKeys() {
  const { colours, keys } = state.beadKeys;
  const now = currentChart().colours;
  const isSame = colours.every((colour, nth) => now[nth] && isSameColour(colour, now[nth]));
  return isSame ? keys : [];
}

/**
 * @param {Colour} colour
 * @param {Pick<Swatch, "key" | "count" | "grams" | "short">} amount
 * @returns {Swatch}
 */
function swatchOf(colour, amount) {
  return {
    colour,
    ...amount,
    isInStock: isInStock(colour.code),
    isKept: state.keptColours.has(colour.code),
    isExcluded: state.excludedColours.has(colour.code),
    isCurrent: isSameColour(currentColour(), colour),
  };
}

/** The codes of the swatches in the order in which they are shown. @type {string[]} */
let order = [];

/**
 * Sorts the swatches by their count when a chart is made or opened; after that they stay where they
 * are, whatever is drawn.
 * @param {Swatch[]} swatches
 */
function sortSwatches(swatches) {
  if (state.sortSwatches) order = [];
  state.sortSwatches = false;
  const places = new Map(order.map((code, at) => [code, at]));
  const placeOf = (/** @type {Swatch} */ { colour }) => places.get(colour.code) ?? order.length;
  swatches.sort((one, other) => placeOf(one) - placeOf(other) || other.count - one.count);
  order = swatches.map(({ colour }) => colour.code);
}

/**
 * The colours of the swatches in their order.
 * @returns {Colour[]}
 */
export function swatchColours() {
  const all = [...currentChart().colours, ...state.addedColours, ...state.suggestedColours];
  return order
    .map((code) => all.find((colour) => colour.code === code))
    .filter((colour) => colour !== undefined);
}

/** Shows the colour in use. */
export function renderCurrentColour() {
  const colour = currentColour();
  const chart = currentChart();
  const nth = chart.colours.findIndex((other) => isSameColour(other, colour));
  const count = nth < 0 ? 0 : beadCounts(chart)[nth];
  const key = beadKeys()[nth];
  const stock = state.palette?.colours.find((other) => other.code === colour.code)?.grams;
  drawPile(get("current-pile", HTMLCanvasElement), { colour, ...CURRENT_PILE });
  element("current-name").textContent = colour.name;
  element("current-details").textContent = [
    colour.code,
    colour.finish,
    key ? `bead key ${key}` : "",
    nth >= 0 ? counted(count, "bead") : "not used yet",
    typeof stock === "number" ? `${grams(stock).replace(" ", "\u00a0")} in stock` : "",
  ]
    .filter(Boolean)
    .join(" · ");
  const { code } = colour;
  setPressed(element("colour-in-stock"), isInStock(code));
  setPressed(element("colour-keep"), state.keptColours.has(code));
  setPressed(element("colour-exclude"), state.excludedColours.has(code));
  const select = get("replace-colour", HTMLSelectElement);
  const others = swatchColours().filter((other) => other.code !== code);
  select.replaceChildren(
    create("option", { value: "" }, "replace with …"),
    ...others.map((other) => create("option", { value: other.code }, other.name)),
  );
  select.value = "";
  select.disabled = !count;
}

/**
 * @param {Element} button
 * @param {boolean} isPressed
 */
function setPressed(button, isPressed) {
  button.setAttribute("aria-pressed", String(isPressed));
}

/** Shows the tool in use, the mirrors, and what can be done with a motif. */
export function renderTools() {
  if (!state.history) return;
  const isCopying = tools.tool === "copy";
  const shown = isCopying ? "motif" : tools.tool;
  for (const button of element("tools").querySelectorAll("button")) {
    setPressed(button, button.dataset.tool === shown);
  }
  setPressed(element("draw-mirror-columns"), tools.mirrors.includes("columns"));
  setPressed(element("draw-mirror-rows"), tools.mirrors.includes("rows"));
  const isSelected = canvas.overlay.box !== null && tools.stroke === null;
  element("motif-actions").hidden = !(isSelected || isCopying);
  for (const button of element("motif-actions").querySelectorAll("button")) {
    button.hidden = isCopying && ["copy", "fill"].includes(button.dataset.action ?? "");
  }
  element("motif-hint").textContent = isCopying
    ? "click to place a copy"
    : "drag it, or press Alt and an arrow key, to move it";
  element("viewport").dataset.tool = tools.tool;
}

/**
 * Says where the pointer is.
 * @param {number} bead
 */
export function renderBeadPosition(bead) {
  const text = element("bead-position");
  text.textContent = state.history && bead >= 0 ? beadPosition(bead) : "";
}

/** @param {number} bead */
function beadPosition(bead) {
  const chart = currentChart();
  const { row, column } = lattice.place(chart, bead);
  return `row ${row}, column ${column} · ${chart.colours[chart.beads[bead]].name}`;
}

/** Shows the problems; a click selects one and highlights its beads. */
export function renderProblemList() {
  const problems = state.facts?.findings ?? [];
  renderProblems(problems, state.selectedProblem, (nth) => {
    const isSelected = state.selectedProblem !== nth;
    state.selectedProblem = isSelected ? nth : -1;
    const beads = isSelected ? problemBeads(currentChart(), problems[nth]) : [];
    canvas.overlay.highlighted = new Set(beads);
    if (beads.length) {
      canvas.overlay.cursor = beads[0];
      canvas.reveal(beads[0]);
      announce(`${counted(beads.length, "bead")} marked on the band`);
    }
    canvas.redraw();
    renderProblemList();
  });
}

/** Shows what is possible with a picture, or without one. */
export function renderPicture() {
  const { picture } = state;
  element("picture-actions").hidden = !picture;
  element("picture-choose-top").hidden = picture !== null;
  element("picture-options").hidden = !picture;
  element("plain-options").hidden = picture !== null;
  element("chart-picture").textContent = picture ? "Chart the picture" : "Make a plain band";
  const title = get("title", HTMLInputElement);
  title.placeholder = (picture && baseName(picture.name)) || "untitled band";
  const cover = get("cover", HTMLSelectElement);
  cover.options[1].hidden = !picture;
  if (!picture && cover.value === "current") cover.value = "";
}

/** Shows the palette's name and puts its colours into the form. */
export function renderPalette() {
  const { palette } = state;
  if (!palette) return;
  const names = knownPalettes().map((each) => each.name);
  if (!names.includes(palette.file)) names.push(palette.file);
  const choice = get("palette-choice", HTMLSelectElement);
  const items = names.map((name) => create("option", { value: name }, baseName(name)));
  choice.replaceChildren(...items);
  choice.value = palette.file;
  element("palette-button").textContent = `Palette: ${palette.name}`;
  element("palette-button").title = `${counted(palette.colours.length, "colour")} (D)`;
  fillColours(get("ground", HTMLSelectElement), palette.colours, { automatic: true });
  fillColours(get("plain-colour", HTMLSelectElement), palette.colours, { automatic: false });
}

/**
 * Fills a selection with the palette's colours; the selected one stays if it can.
 * @param {HTMLSelectElement} select
 * @param {PaletteColour[]} colours
 * @param {{automatic: boolean}} options whether the choice can be left to the server
 */
function fillColours(select, colours, { automatic }) {
  const before = select.value;
  const items = colours.map(({ code, name }) => create("option", { value: code }, name));
  const first = automatic ? [create("option", { value: "" }, "automatic")] : [];
  select.replaceChildren(...first, ...items);
  select.value = before;
  if (!select.value) select.value = automatic ? "" : plainColour(colours).code;
}

/**
 * Puts the size of a chart into the form.
 * @param {Chart} chart
 */
export function renderBandFields(chart) {
  const { size, place } = readRecord(chart.made.options);
  const { length_mm, diameter_mm, hole_mm } = chart.bead;
  const known = state.setup.beads.find(
    (each) =>
      each.length_mm === length_mm && each.diameter_mm === diameter_mm && each.hole_mm === hole_mm,
  );
  // A pattern may have other rows than its size asks for, so that it repeats evenly.
  const closedBy = size === undefined || place?.startsWith("repeat") ? "rows" : "size";
  fillFields({
    columns: String(chart.columns),
    rows: String(chart.rows),
    "length-by": chart.closed ? closedBy : "open",
    ...(size !== undefined && chart.closed ? { size } : {}),
    ...(known
      ? { bead: known.name.replace(/\/0$/, "") }
      : { bead: "custom", "bead-custom": `${length_mm}x${diameter_mm}x${hole_mm}` }),
  });
}
