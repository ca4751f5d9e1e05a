// Finished charts worked over: refined towards their picture, or changed to another palette.

import { cancel } from "./api.js";
import { conflictingColour, isSameColour, readChart } from "./chart.js";
import { hasAllColours } from "./chart-palette.js";
import { defaultColour } from "./colours.js";
import { run } from "./commands.js";
import { announce, element, get, valueOf, whileBusy } from "./dom.js";
import { counted } from "./format.js";
import * as lattice from "./lattice.js";
import { showError } from "./notices.js";
import { calm, distances } from "./options.js";
import { withProgress } from "./progress.js";
import { renderAll } from "./render.js";
import { askRefinement } from "./refinement.js";
import { ask } from "./requests.js";
import {
  chartText,
  currentChart,
  currentColour,
  fileName,
  isOffered,
  paletteId,
  state,
} from "./state.js";

/** @typedef {import("./chart.js").Colour} Colour */

/** Whether the palette has every colour of the chart. */
function paletteHasAll() {
  return hasAllColours(state.palette, currentChart());
}

/**
 * Shows a chart that was worked over. It counts as changed by hand, so that no option throws it
 * away.
 * @param {{text: string, document: string}} answer
 * @param {string} label
 */
function showReworked({ text, document }, label) {
  const from = currentChart();
  run({ kind: "group", parts: [{ kind: "chart", from, to: readChart(text) }] }, label);
  const chart = currentChart();
  state.lastReport = { chart, text: document };
  const known = [...chart.colours, ...(state.palette?.colours ?? [])];
  const { colour } = state;
  const isKnown = colour !== null && known.some((other) => isSameColour(other, colour));
  if (!isKnown || conflictingColour(chart, currentColour())) state.colour = defaultColour(chart);
  renderAll();
}

/** Refines the chart towards its picture; beads that were set by hand stay. */
export async function refineChart() {
  const { picture, history } = state;
  if (!picture || !history) return;
  const beads = history.editedBeads();
  if (!beads) {
    const what = "rows or columns have moved since the picture was charted";
    showError({ what, hint: "undo that, or chart the picture again" });
    return;
  }
  const chart = currentChart();
  const places = beads.map((bead) => lattice.place(chart, bead));
  const pins = [...places.map(({ row, column }) => `${row}:${column}`), valueOf("pin")];
  const pin = pins.filter(Boolean).join(",");
  const body = {
    chart: chartText(),
    name: fileName(),
    picture: picture.id,
    palette: paletteHasAll() ? paletteId() : undefined,
    pin: pin || undefined,
    distances: distances(),
    calm: calm(),
    simplify: Number(valueOf("simplify")) || undefined,
  };
  const work = () => ask("refine", { body, channel: "chart" });
  const stop = () => cancel("chart");
  const answer = await whileBusy(() => withProgress("Refining the chart", work, stop));
  if (!answer || currentChart() !== chart) return;
  const refined = readChart(answer.text);
  if (isSameBand(chart, refined)) return announce("Refining changes no bead");
  const before = { chart, text: body.chart };
  const isTaken = await askRefinement(before, { chart: refined, text: answer.text });
  if (currentChart() !== chart) return;
  if (!isTaken) return announce("The band stays as it was");
  const count = beads.length;
  showReworked(answer, count ? `refined around ${counted(count, "bead")}` : "chart refined");
}

/**
 * Whether two charts of one shape have the same colour at every bead.
 * @param {import("./chart.js").Chart} one
 * @param {import("./chart.js").Chart} other
 */
function isSameBand(one, other) {
  return one.beads.every(
    (colour, bead) => one.colours[colour].code === other.colours[other.beads[bead]].code,
  );
}

/** Changes the chart to the colours of the palette. */
export async function recolourChart() {
  const { palette } = state;
  if (!palette) return;
  const chart = currentChart();
  const body = { chart: chartText(), name: fileName(), palette: { id: palette.id } };
  const answer = await ask("swap", { body });
  if (!answer || currentChart() !== chart) return;
  showReworked(answer, `changed to the palette ${palette.name}`);
  renderRecolourOffer();
}

/** Offers to change the chart to the palette where the palette does not have all its colours. */
export function renderRecolourOffer() {
  const offer = element("recolour-offer");
  offer.hidden = !state.history || paletteHasAll() || !isOffered("swap");
  if (offer.hidden) return;
  element("recolour-reason").textContent = "This palette does not have all colours of the band.";
}

/**
 * Says why a colour of the palette cannot be used, and offers to change the chart.
 * @param {Colour} colour
 * @param {Colour} other the chart's colour with the same code
 */
export function explainConflict(colour, other) {
  renderRecolourOffer();
  const { code, name } = colour;
  const text =
    `The code ${code} stands for ${other.name} in the band, not for ${name}. ` +
    "Change the band to this palette first.";
  element("recolour-reason").textContent = text;
  announce(text);
  if (!element("recolour-offer").hidden) get("recolour", HTMLButtonElement).focus();
}
