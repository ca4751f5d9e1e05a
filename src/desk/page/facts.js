// Asks the server about the chart: its ring, its kit and its problems.

import { clearError } from "./notices.js";
import { gauge } from "./options.js";
import { renderColours, renderCurrentColour, renderProblemList } from "./render.js";
import { ask } from "./requests.js";
import { chartText, currentChart, paletteId, state } from "./state.js";
import { problemBeads, renderFigures } from "./summary.js";
import { canvas } from "./views.js";

/** A problem with more beads is marked on the band only while it is selected. */
const MAX_MARKED = 24;
/** The defaults of `upbead kit`. */
const KIT = { make: 1, spare: 10 };

/** The settings of the kit, which hold for the figures beside the band too. */
function kitSettings() {
  const value = (/** @type {string} */ option) => {
    const field = document.querySelector(`#export-options [data-option="${option}"]`);
    const isField = field instanceof HTMLInputElement || field instanceof HTMLSelectElement;
    return (isField && field.value.trim()) || undefined;
  };
  return {
    make: value("make") ?? KIT.make,
    spare: value("spare") ?? KIT.spare,
    thread: value("thread"),
    tail: value("tail"),
    // Only an odd count has such a turn.
    odd_turn: currentChart().columns % 2 ? value("odd_turn") : undefined,
    length: value("length"),
  };
}

/** Fetches the facts about the chart and shows them, unless the chart has changed meanwhile. */
export async function fetchFacts() {
  const text = chartText();
  const body = { chart: text, palette: paletteId(), ...kitSettings(), ...gauge() };
  const answer = await ask("facts", { body, channel: "facts" }, { source: "facts" });
  if (!answer) return;
  clearError("facts");
  if (text !== chartText()) return;
  state.facts = answer;
  const chart = currentChart();
  state.beadKeys = { colours: chart.colours, keys: answer.keys };
  renderFigures(chart, answer);
  renderColours();
  renderCurrentColour();
  markProblems(chart, answer.findings);
  renderProblemList();
  canvas.redraw();
  document.dispatchEvent(new Event("factschange"));
}

/**
 * @param {import("./chart.js").Chart} chart
 * @param {import("./state.js").Problem[]} problems
 */
function markProblems(chart, problems) {
  const beads = problems.map((problem) => problemBeads(chart, problem));
  canvas.overlay.marked = new Set(beads.filter((each) => each.length <= MAX_MARKED).flat());
}
