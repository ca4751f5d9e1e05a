// The palette dialog: colours to use, to tick as in stock, to keep in or leave out.

import { autosave } from "./autosave.js";
import { beadCounts, conflictingColour, isSameColour } from "./chart.js";
import { optionsChanged } from "./charting.js";
import { isInStock, toggleInStock } from "./colours.js";
import { useColour } from "./commands.js";
import { announce, element, get } from "./dom.js";
import { renderPaletteGrid } from "./palette-grid.js";
import { explainConflict, renderRecolourOffer } from "./refine.js";
import { renderColours, renderCurrentColour } from "./render.js";
import { updateSimilarLater } from "./similar.js";
import { currentChart, state } from "./state.js";

/** @typedef {import("./chart.js").Colour} Colour */

/**
 * What a click on a colour of the palette does.
 * @type {Record<string, (colour: Colour) => void>}
 */
const ACTIONS = {
  use: chooseColour,
  stock: toggleStock,
  keep: toggleKept,
  exclude: toggleExcluded,
};

/**
 * Ticks a colour as in stock, or unticks it: then it can no longer be kept in.
 * @param {Colour} colour
 */
export function toggleStock({ code, name }) {
  const isNow = toggleInStock(code);
  const isReleased = !isNow && state.keptColours.delete(code);
  announce(`${name}: ${isNow ? "" : "not "}in stock${isReleased ? ", no longer kept in" : ""}`);
  choicesChanged();
}

/**
 * Always uses a colour when the picture is charted, or leaves it open.
 * @param {Colour} colour
 */
export function toggleKept({ code, name }) {
  const isNow = toggle(state.keptColours, code);
  state.excludedColours.delete(code);
  announce(`${name}: ${isNow ? "kept in" : "no longer kept in"}`);
  choicesChanged();
}

/**
 * Never uses a colour when the picture is charted, or leaves it open.
 * @param {Colour} colour
 */
export function toggleExcluded({ code, name }) {
  const isNow = toggle(state.excludedColours, code);
  state.keptColours.delete(code);
  announce(`${name}: ${isNow ? "left out" : "no longer left out"}`);
  choicesChanged();
}

/**
 * @param {Set<string>} set
 * @param {string} code
 * @returns {boolean} whether the set has the code now
 */
function toggle(set, code) {
  if (set.delete(code)) return false;
  set.add(code);
  return true;
}

/** The choices about a colour have changed. */
function choicesChanged() {
  renderColours();
  renderCurrentColour();
  renderPaletteDialog();
  if (state.picture) optionsChanged();
  void autosave();
}

/** @param {Colour} colour */
function chooseColour(colour) {
  const other = conflictingColour(currentChart(), colour);
  if (other) return explainConflict(colour, other);
  useColour(colour);
  get("palette", HTMLDialogElement).close();
}

/** Shows the colours while the dialog is open. */
export function renderPaletteDialog() {
  const { palette } = state;
  if (!get("palette", HTMLDialogElement).open || !palette) return;
  document.dispatchEvent(new Event("palettechange"));
  renderRecolourOffer();
  if (element("palette-colours").hidden) return;
  updateSimilarLater();
  const chart = currentChart();
  const counts = beadCounts(chart);
  const used = new Map(
    chart.colours.map((colour, nth) => {
      const isKnown = palette.colours.some((other) => isSameColour(other, colour));
      return [colour.code, isKnown ? counts[nth] : 0];
    }),
  );
  const { keptColours: kept, excludedColours: excluded } = state;
  renderPaletteGrid(palette.colours, {
    status: { isInStock, kept, excluded, used },
    search: get("palette-search", HTMLInputElement).value,
    onClick: (colour) => ACTIONS[chosenAction()](colour),
  });
}

/** The name of what a click on a colour does. */
function chosenAction() {
  const chosen = document.querySelector("input[name=palette-action]:checked");
  return chosen instanceof HTMLInputElement ? chosen.value : "use";
}

export function openPalette() {
  const dialog = get("palette", HTMLDialogElement);
  if (!dialog.open) dialog.showModal();
  renderPaletteDialog();
}
