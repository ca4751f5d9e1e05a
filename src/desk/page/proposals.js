// Other ways to chart the picture, beside the chart that was made: press one to take it, press it
// again to go back. They are made in the background, and anything newer cancels them.

import { cancel, RequestError, requestJson } from "./api.js";
import { isSameColour, readChart } from "./chart.js";
import { cancelCharting, chartBody, followsOptions } from "./chart-request.js";
import { defaultColour, suggestColours } from "./colours.js";
import { fillForm, run, undo } from "./commands.js";
import { create, debounce, element } from "./dom.js";
import { counted } from "./format.js";
import { readFields } from "./options.js";
import { cropChange, fieldsOfChanges } from "./proposal-fields.js";
import { renderAll } from "./render.js";
import { withUploads } from "./requests.js";
import { RingView } from "./ring.js";
import { currentChart, currentColour, isOffered, state } from "./state.js";
import { drawStrip } from "./strip.js";
import { cropFrame } from "./views.js";
import { markCharted } from "./waiting.js";

/** @typedef {import("./chart.js").Chart} Chart */
/** @typedef {import("./history.js").FormState} FormState */
/**
 * @typedef {import("../answers.d.ts").ProposeAnswer["proposals"][number] & {chart: Chart}} Proposal
 */

/** Most ways that are shown, the chart as it was asked for first. */
const MOST = 5;
/** The chart and its figures go first, in milliseconds. */
const DELAY = 120;
/** Room for the flat band on a card, in CSS pixels. */
const STRIP = { width: 96, height: 22 };
const LONG_STRIP = { width: 132, height: 44 };

const shown = {
  /** @type {Proposal[]} */
  proposals: [],
  /** The form as it was when they were asked for. @type {FormState | null} */
  form: null,
  /** The picture that they are of. */
  picture: "",
};

const proposeSoon = debounce(() => void propose(), DELAY);

/** Has other ways made, once nothing else is asked of the program. */
export function proposeLater() {
  cancel("propose");
  if (!isPossible()) return;
  const isOther = shown.picture !== state.picture?.id;
  if (isOther) Object.assign(shown, { proposals: [], picture: state.picture?.id });
  showWaiting();
  proposeSoon();
}

function isPossible() {
  return isOffered("propose") && state.history !== null && followsOptions();
}

/** The form and what was remarked, as they are now. @returns {FormState} */
function formNow() {
  const { picture, notes } = state;
  return { fields: readFields(), picture: picture?.id, crop: cropFrame.crop, notes };
}

async function propose() {
  if (!isPossible()) return stopWaiting();
  const form = formNow();
  const body = chartBody();
  try {
    const options = { body, channel: "propose" };
    const answer = await withUploads(() => requestJson("propose", options));
    const proposals = answer.proposals.slice(0, MOST);
    shown.proposals = proposals.map((one) => ({ ...one, chart: readChart(one.text) }));
    shown.form = form;
    renderProposals();
  } catch (cause) {
    if (!(cause instanceof RequestError)) throw cause;
    // What is wrong with the picture or the options is said where the chart is made.
    if (cause.kind !== "stale") forgetProposals();
  }
}

/** Puts the ways away: their picture has gone, or another is coming. */
export function forgetProposals() {
  cancel("propose");
  Object.assign(shown, { proposals: [], form: null, picture: "" });
  element("proposals").hidden = true;
}

/** Until the ways have come, those before stand back; at first, empty cards keep their room. */
function showWaiting() {
  const row = element("proposals");
  row.hidden = false;
  row.classList.add("waiting");
  const list = element("proposal-list");
  if (!shown.proposals.length) {
    const cards = Array.from({ length: MOST }, () => create("span", { class: "proposal empty" }));
    list.replaceChildren(...cards);
  }
  for (const card of list.querySelectorAll("button")) card.disabled = true;
}

/** The ways that were there stay; where there were none, their room goes. */
function stopWaiting() {
  if (shown.proposals.length) renderProposals();
  else forgetProposals();
}

function renderProposals() {
  const row = element("proposals");
  row.classList.remove("waiting");
  row.hidden = shown.proposals.length < 2;
  element("proposal-list").replaceChildren(...shown.proposals.map(card));
  renderTaken();
}

/**
 * @param {Proposal} proposal
 * @param {number} nth
 */
function card(proposal, nth) {
  const { name, description, summary, chart } = proposal;
  const { colours, stray } = figuresOf(summary);
  const strip = create("canvas", { class: "proposal-strip", "aria-hidden": "true" });
  drawStrip(strip, chart, chart.closed ? STRIP : LONG_STRIP);
  const button = create(
    "button",
    {
      type: "button",
      class: "proposal",
      title: `${name}: ${description}; ${stray}`,
      "data-nth": nth,
    },
    ...(chart.closed ? [ringOf(chart)] : []),
    create(
      "span",
      { class: "proposal-words" },
      create("span", { class: "proposal-name" }, name),
      create("span", { class: "proposal-figures" }, colours),
      strip,
    ),
  );
  button.addEventListener("click", () => press(nth));
  return button;
}

/** @param {import("../answers.d.ts").ChartReport} summary */
function figuresOf({ colours, stray_beads }) {
  const used = colours.filter(({ beads }) => beads > 0).length;
  return { colours: counted(used, "colour"), stray: counted(stray_beads, "stray bead") };
}

/** @param {Chart} chart */
function ringOf(chart) {
  const canvas = create("canvas", { class: "proposal-ring", "aria-hidden": "true" });
  new RingView(canvas, { isStill: true }).show(chart);
  return canvas;
}

/** Shows which of the ways the band is now. */
export function renderTaken() {
  const taken = state.history ? shown.proposals.findIndex(isTaken) : -1;
  for (const button of element("proposal-list").querySelectorAll("button")) {
    button.setAttribute("aria-pressed", String(button.dataset.nth === String(taken)));
  }
}

/** Whether the band is the one of a proposal, bead for bead. @param {Proposal} proposal */
function isTaken({ chart: { columns, rows, closed, colours, beads } }) {
  const now = currentChart();
  return (
    now.columns === columns &&
    now.rows === rows &&
    now.closed === closed &&
    now.colours.length === colours.length &&
    now.colours.every((colour, nth) => isSameColour(colour, colours[nth])) &&
    now.beads.every((colour, nth) => colour === beads[nth])
  );
}

/**
 * Takes a proposal; one that is taken is put back again.
 * @param {number} nth
 */
function press(nth) {
  const proposal = shown.proposals[nth];
  if (!proposal || !state.history) return;
  if (!isTaken(proposal)) return take(proposal);
  if (nth === 0) return;
  if (state.history.done.at(-1)?.label === labelOf(proposal)) undo();
  else take(shown.proposals[0]);
}

/** @param {Proposal} proposal */
function labelOf({ name }) {
  return `taken: ${name.toLowerCase()}`;
}

/** @param {Proposal} proposal */
function take(proposal) {
  const { history } = state;
  const { form } = shown;
  if (!history || !form) return;
  cancelCharting();
  const from = formNow();
  const fields = { ...form.fields, ...fieldsOfChanges(proposal.changes) };
  const crop = cropChange(proposal.changes, form.crop);
  const to = { fields, picture: form.picture, crop, notes: proposal.summary.warnings };
  fillForm(to);
  markCharted();
  const title = currentChart().title;
  const chart = title === undefined ? proposal.chart : { ...proposal.chart, title };
  run({ kind: "chart", from: currentChart(), to: chart }, labelOf(proposal));
  const entry = history.done.at(-1);
  if (entry) entry.form = { from, to };
  state.lastReport = { chart: currentChart(), text: proposal.document };
  if (!chart.colours.some((colour) => colour.code === currentColour().code)) {
    state.colour = defaultColour(chart);
  }
  suggestColours();
  renderAll();
}
