// Unsaved work, kept as it is now.

import * as keeping from "./keep.js";
import { wished } from "./picture.js";
import { desk, isUnsaved } from "./state.js";
import { fault } from "./notice.js";
import { frame, hands } from "./table.js";
import { layEverything } from "./lay.js";

/** @typedef {import("./chart.js").Command} Command */

/** Deeds that are kept over a reload; all of them can be undone until then. */
const KEPT_DEEDS = 400;
/** Beads in them, at most, so that keeping never takes long. */
const KEPT_BEADS = 300000;

/** The last deeds that together are not too heavy to keep. @template {{command: Command}} T @param {T[]} deeds @returns {T[]} */
function worthKeeping(deeds) {
  let weight = 0;
  let from = deeds.length;
  while (from > 0 && deeds.length - from < KEPT_DEEDS) {
    weight += heaviness(deeds[from - 1].command);
    if (weight > KEPT_BEADS) break;
    from--;
  }
  return deeds.slice(from);
}

/** @param {Command} command @returns {number} */
function heaviness(command) {
  if (command.kind === "all") return command.parts.reduce((sum, part) => sum + heaviness(part), 0);
  if (command.kind === "whole") return command.from.beads.length + command.to.beads.length;
  return command.kind === "beads" ? command.at.length : 100;
}

export async function keep() {
  const { history } = desk;
  if (!history || !desk.ready) return;
  const done = worthKeeping(history.done);
  const work = {
    chart: history.chart,
    done,
    undone: worthKeeping(history.undone),
    origin: history.done.length === 0 ? desk.origin : "",
    saved: desk.saved === null ? (done.length === history.done.length ? 0 : -1) : done.indexOf(/** @type {any} */ (desk.saved)) + 1 || -1,
    file: desk.file,
    out: desk.out,
    hand: desk.hand,
    pinned: [...desk.pinned],
    banned: [...desk.banned],
    wished: wished(),
    crop: frame.crop,
    palette: desk.palette ? { file: desk.palette.file, text: desk.palette.text } : null,
    axes: hands.axes,
    notes: desk.notes,
    picture: desk.picture !== null,
    brought: desk.brought,
  };
  if (!(await keeping.keep(work, isUnsaved()))) refused();
}

export function refused() {
  if (desk.refused) return;
  desk.refused = true;
  fault({ what: "this browser refuses to keep unsaved work", hint: "save to a file often; all else works" }, "", true);
  layEverything();
}
