// Unsaved work, kept as it is now.

import * as keeping from "./keep.js";
import { wished } from "./picture.js";
import { desk, isUnsaved } from "./state.js";
import { fault } from "./notice.js";
import { frame, hands } from "./table.js";
import { layEverything, layState } from "./lay.js";

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

/** Changes so far, and how many of them the browser has stored. */
const count = { made: 0, stored: 0 };
/** @type {Promise<void> | null} */
let storing = null;
/** Storing takes no more than one part in so many of the time, however heavy the work. */
const PART = 4;
/** Whether the picture has to be stored again, in a slot that it is not yet in. */
let withPicture = false;

/** Stores the work at once, and again after whatever changes meanwhile; done when all is stored. @returns {Promise<void>} */
export function keep() {
  count.made += 1;
  desk.kept = false;
  layState();
  storing ??= storeAll();
  return storing;
}

async function storeAll() {
  // The mat has the first turn.
  await quiet(0);
  while (desk.ready && desk.history && count.stored < count.made) {
    const { made } = count;
    const start = performance.now();
    const stored = store();
    const took = performance.now() - start;
    if (!(await stored)) refused();
    count.stored = made;
    if (count.stored < count.made) await quiet(took * (PART - 1));
  }
  storing = null;
  desk.kept = count.stored === count.made;
  layState();
}

/** @param {number} time in milliseconds */
function quiet(time) {
  return new Promise((done) => setTimeout(done, time));
}

/** What is not stored yet is stored now: the page goes away. */
export function keepLast() {
  if (desk.ready && desk.history && count.stored < count.made) void store();
}

/** The desk was started again and this page's address is gone: the work is left to the new page. */
export async function moveOut() {
  await keep();
  await keeping.moveOut();
  withPicture = true;
}

/** @returns {Promise<boolean>} */
function store() {
  if (withPicture && desk.picture) void keeping.keepPicture({ name: desk.picture.name, bytes: desk.picture.bytes });
  withPicture = false;
  return keeping.keep(work(), isUnsaved());
}

function work() {
  const history = /** @type {NonNullable<typeof desk.history>} */ (desk.history);
  const done = worthKeeping(history.done);
  return {
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
}

export function refused() {
  if (desk.refused) return;
  desk.refused = true;
  fault({ what: "this browser refuses to keep unsaved work", hint: "save to a file often; all else works" }, "", true);
  layEverything();
}
