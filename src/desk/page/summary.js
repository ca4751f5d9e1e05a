// The figures beside the band, and the problems, each with the beads that it is about.

import { create, element, fillTerms } from "./dom.js";
import { number, tenths } from "./format.js";
import { sentence } from "./labels.js";
import * as lattice from "./lattice.js";

/** @import { WarningReport } from "../answers.d.ts" */
/** @typedef {import("./chart.js").Chart} Chart @typedef {import("./labels.js").Message} Message */
/** @typedef {import("./state.js").Facts} Facts @typedef {import("./state.js").Problem} Problem */

/**
 * Shows the figures of a band; what only the server knows is left out until it has answered.
 * @param {Chart} chart
 * @param {Facts | null} facts
 */
export function renderFigures(chart, facts) {
  const { length_mm, diameter_mm } = chart.bead;
  const width = chart.columns * length_mm;
  const length = ((chart.closed ? chart.rows : chart.rows + 1) * diameter_mm) / 2;
  /** @type {[string, string][]} */
  const rows = [];
  const ring = facts?.ring;
  if (ring) {
    const sizes = [sizeLabel("US", ring.us), ring.iso ? `ISO ${ring.iso}` : ""].filter(Boolean);
    rows.push(["Inside", `${number(ring.diameter_mm)} mm`]);
    if (sizes.length) rows.push(["Ring size", sizes.join(", ")]);
  }
  rows.push(["Band", `${tenths(width)} × ${tenths(length)} mm`]);
  rows.push(["Columns", number(chart.columns)], ["Rows", number(chart.rows)]);
  rows.push(["Beads", number(chart.beads.length)]);
  const weight = facts?.kit?.total?.grams;
  if (weight) rows.push(["Weight", `${tenths(weight)} g with spares`]);
  const thread = facts?.kit?.thread?.each_mm;
  if (thread) rows.push(["Thread", threadLength(thread)]);
  fillTerms("figures", rows);
}

/**
 * A US size in the halves that are sold, and beside it the exact size.
 * @param {string} scale
 * @param {number | null | undefined} size
 */
function sizeLabel(scale, size) {
  if (size === null || size === undefined) return "";
  const sold = Math.round(size * 2) / 2;
  return `${scale} ${number(sold)}${sold === size ? "" : ` (${number(size)})`}`;
}

/** @param {number} mm */
function threadLength(mm) {
  const centimetres = Math.ceil(mm / 10);
  return mm >= 1000 ? `${number(centimetres / 100)} m` : `${centimetres} cm`;
}

/**
 * The beads of a problem that the band still has.
 * @param {Chart} chart
 * @param {Problem} problem
 */
export function problemBeads(chart, { beads }) {
  return beads
    .map(({ row, column }) => lattice.index(chart, row, column))
    .filter((bead) => bead >= 0);
}

/**
 * Lists the problems, or says that there are none.
 * @param {Problem[]} problems
 * @param {number} selected the number of the selected problem, or -1
 * @param {(nth: number) => void} onClick
 */
export function renderProblems(problems, selected, onClick) {
  const list = element("problems");
  if (!problems.length) {
    list.replaceChildren(create("li", { class: "hint" }, "No problems found."));
    return;
  }
  const { activeElement } = document;
  const isInside = activeElement instanceof HTMLElement && list.contains(activeElement);
  const focused = isInside ? activeElement.dataset.nth : undefined;
  const items = problems.map((problem, nth) => {
    const button = problemButton(problem, { nth, isSelected: nth === selected });
    button.addEventListener("click", () => onClick(nth));
    return create("li", {}, button);
  });
  list.replaceChildren(...items);
  if (focused === undefined) return;
  const button = list.querySelector(`[data-nth="${focused}"]`);
  if (button instanceof HTMLElement) button.focus({ preventScroll: true });
}

/**
 * @param {Problem} problem
 * @param {{nth: number, isSelected: boolean}} state the hint shows while the problem is selected
 */
function problemButton({ text, hint_parts }, { nth, isSelected }) {
  const button = create(
    "button",
    { type: "button", class: "problem", "aria-pressed": String(isSelected), "data-nth": nth },
    create("span", { class: "problem-text" }, sentence(text)),
  );
  if (isSelected) {
    button.append(create("span", { class: "problem-hint" }, sentence(hint_parts)));
  }
  return button;
}

/**
 * What a picture was read as.
 * @param {WarningReport[]} notes
 */
function readingOf(notes) {
  return notes.find(({ kind }) => kind === "read_as");
}

/**
 * The value of an option that was chosen from what the picture was read as.
 * @param {WarningReport[]} notes
 * @param {string} option
 */
export function chosenValue(notes, option) {
  for (const part of readingOf(notes)?.parts ?? []) {
    if (typeof part !== "string" && "option" in part && part.option === option) return part.value;
  }
  return undefined;
}

/**
 * Shows what is to be said of a chart, and first of all what its picture was read as.
 * @param {WarningReport[]} notes
 */
export function renderNotes(notes) {
  const reading = readingOf(notes);
  element("reading").hidden = !reading;
  element("reading").textContent = reading ? `${sentence(reading)}.` : "";
  renderMessages(
    "notes",
    notes.filter((note) => note !== reading),
  );
}

/**
 * Fills a list with messages.
 * @param {string} id
 * @param {Message[]} messages
 */
export function renderMessages(id, messages) {
  const items = messages.map((message) => create("li", {}, sentence(message)));
  element(id).replaceChildren(...items);
}
