// Deeds: what changes the chart, can be undone, and is shown everywhere.

import * as charts from "./chart.js";
import { calmly, get, say } from "./dom.js";
import * as files from "./files.js";
import * as lattice from "./lattice.js";
import { wish } from "./picture.js";
import { drawTrue } from "./size.js";
import { chart, desk, hand } from "./state.js";
import { putOutSome, strongest } from "./colours.js";
import { hands, mat, ring } from "./table.js";
import { layEverything, layHand, layTheDishes, order, putBandIntoForm } from "./lay.js";
import { askFacts, askSeen } from "./program.js";
import { keep } from "./work.js";

/** @typedef {import("./chart.js").Chart} Chart @typedef {import("./chart.js").Colour} Colour @typedef {import("./chart.js").Command} Command */

/** Does a deed, which can be undone. @param {Command | null} command @param {string} said @param {boolean} [join] takes the place of a deed of the same name */
export function act(command, said, join = false) {
  const { history } = desk;
  if (!history) return;
  if (!command) {
    say("Nothing changes");
    return;
  }
  const last = history.done.at(-1);
  if (join && last && last !== desk.saved && last.said === said && last.command.kind === "whole" && command.kind === "whole") {
    history.undo();
    history.undone = [];
    command = { ...command, from: history.chart };
  }
  history.add(command, said);
  desk.fresh ||= command.kind === "whole";
  say(said.charAt(0).toUpperCase() + said.slice(1));
  show(touched(command));
}

/** The beads that a command changes, where it leaves all else. @param {Command} command @returns {number[] | undefined} */
function touched(command) {
  if (command.kind === "beads") return command.at;
  if (command.kind === "colours" || command.kind === "words") return [];
  if (command.kind !== "all") return undefined;
  const parts = command.parts.map(touched);
  return parts.every((part) => part) ? /** @type {number[]} */ (parts.flat()) : undefined;
}

/** @param {"undo" | "redo"} way */
export function back(way) {
  const { history } = desk;
  if (!history) return;
  const list = way === "undo" ? history.done : history.undone;
  /** @type {import("./state.js").Deed | undefined} */
  const deed = list.at(-1);
  const command = deed?.command;
  const said = history[way]();
  if (!said || !command) return say(way === "undo" ? "There is nothing to undo" : "There is nothing to redo");
  say(`${way === "undo" ? "Undone" : "Redone"}: ${said}`);
  hands.letGo();
  if (deed.file) otherFile(deed.file, way);
  desk.fresh ||= command.kind === "whole";
  show(touched(command));
  if (!touched(command)) putBandIntoForm(chart());
}

/** Each chart goes back to its own file. @param {{from: string, to: string}} file what the file was called before and after @param {"undo" | "redo"} way */
function otherFile(file, way) {
  const [here, there] = way === "undo" ? /** @type {const} */ (["to", "from"]) : /** @type {const} */ (["from", "to"]);
  file[here] = desk.file;
  desk.file = file[there];
  files.elsewhere();
}

/** Shows the chart everywhere. @param {number[]} [changed] */
export function show(changed) {
  const now = chart();
  hands.settle();
  mat.show(now, changed);
  desk.chosenFinding = -1;
  mat.over.lit = new Set();
  if (!changed) mat.over.pinned = new Map();
  layEverything();
  if (now.beads.length < SMALL) {
    ring.show(now);
    trueSoon();
  } else {
    ringLater();
    trueLater();
  }
  factsLater();
  keepLater();
  document.dispatchEvent(new Event("shown"));
}

/** A band of fewer beads is drawn as worn and at true size with every change, a larger one when the hand rests. */
const SMALL = 3000;

function drawnTrue() {
  drawTrue(get("true-band", HTMLCanvasElement), chart());
  seenLater();
}

const ringLater = calmly(() => ring.show(chart()), 180);
export const trueLater = calmly(drawnTrue, 120);
/** After the mat, which has the first frame. */
const trueSoon = calmly(drawnTrue, 0);
export const factsLater = calmly(() => askFacts(), 160);
export const keepLater = () => void keep();
const seenLater = calmly(() => askSeen(), 20);

/** @param {Chart} now @param {string} text @param {string} file */
export function begin(now, text, file) {
  desk.history = new charts.History(now);
  desk.fresh = true;
  desk.origin = text;
  desk.saved = null;
  desk.file = file;
  desk.facts = null;
  desk.notes = [];
  files.elsewhere();
  desk.out = desk.out.filter((colour) => desk.palette?.colours.some((other) => other.code === colour.code));
  putOutSome();
  desk.hand = strongest(now);
  mat.fitted = true;
  show();
}

/** @param {Colour} colour */
export function takeInHand(colour) {
  desk.hand = charts.plain(colour);
  if (!chart().colours.some((other) => other.code === colour.code) && !desk.out.some((other) => other.code === colour.code)) desk.out.push(colour);
  say(`${colour.name} in hand`);
  layTheDishes();
  layHand();
  keepLater();
}

/** @param {number} by */
export function nextDish(by) {
  const all = order();
  const at = all.findIndex((colour) => colour.code === hand().code);
  takeInHand(all[(at + by + all.length) % all.length]);
}

/** @param {number} round @param {number} across */
export function shift(round, across) {
  act(
    charts.turning(round, across),
    round ? `the pattern one bead ${round > 0 ? "up" : "down"} the round` : `the pattern one bead to the ${across > 0 ? "right" : "left"}`,
  );
}

/** @param {"rows" | "columns"} kind @param {boolean} into */
export function pair(kind, into) {
  const now = chart();
  const here = lattice.place(now, mat.over.cursor);
  const command =
    kind === "rows"
      ? into
        ? charts.lettingInRows(now, here.row)
        : charts.takingOutRows(now, here.row)
      : into
        ? charts.lettingInColumns(now, here.column)
        : charts.takingOutColumns(now, here.column);
  resize(command, `2 ${kind} ${into ? "let in" : "taken out"}`);
}

/** @param {Command | null} command @param {string} said */
export function resize(command, said) {
  hands.letGo();
  if (!command) return say("The band can have no more and no fewer than that");
  const before = chart().rows;
  act(command, said);
  const { columns, rows, closed } = chart();
  // A ring of as many rows is of the same size.
  wish({ columns: String(columns), ...(rows === before ? {} : { rows: String(rows), "length-by": closed ? "rows" : "open" }) });
}
