// The place in the work: which step, and how many of its beads are on the needle. Functions only; nothing is shown or kept here.

/** @import { Work } from "./work.js" */
import { beadsOf } from "./work.js";

/**
 * @typedef {{step: number, bead: number}} Place
 * @typedef {{place: Place, past: Place[], counting: boolean}} Standing
 *   where the weaver is, where she was before (for undo), and whether she counts bead by bead
 */

/** Most places that undo goes back. */
const MOST_PAST = 200;

/** @returns {Standing} */
export function beginning() {
  return { place: { step: 0, bead: 0 }, past: [], counting: false };
}

/**
 * One bead on, or one step on.
 * @param {Work} work
 * @param {Standing} now
 * @returns {Place}
 */
export function onward(work, { place, counting }) {
  const step = work.steps[place.step];
  if (counting && step && place.bead < beadsOf(step)) return { step: place.step, bead: place.bead + 1 };
  if (place.step + 1 < work.steps.length) return { step: place.step + 1, bead: 0 };
  return place;
}

/**
 * One bead back, or to the head of this step or of the one before.
 * @param {Work} work
 * @param {Standing} now
 * @returns {Place}
 */
export function backward(work, { place, counting }) {
  if (place.bead > 0) return { step: place.step, bead: counting ? place.bead - 1 : 0 };
  if (place.step === 0) return place;
  const before = work.steps[place.step - 1];
  return { step: place.step - 1, bead: counting && before ? beadsOf(before) : 0 };
}

/**
 * To another place, remembering this one.
 * @param {Standing} now
 * @param {Place} place
 * @returns {Standing}
 */
export function moved(now, place) {
  if (place.step === now.place.step && place.bead === now.place.bead) return now;
  return { ...now, place, past: [...now.past, now.place].slice(-MOST_PAST) };
}

/**
 * To where she was before the last move.
 * @param {Standing} now
 * @returns {Standing}
 */
export function undone(now) {
  const place = now.past.at(-1);
  return place ? { ...now, place, past: now.past.slice(0, -1) } : now;
}

/**
 * The step in which a row is woven; -1 if it is not in this work.
 * @param {Work} work
 * @param {number} row
 */
export function stepOfRow(work, row) {
  return work.steps.findIndex((step) => step.beads?.some((bead) => work.band.row[bead] === row));
}

/**
 * @param {Work} work
 * @param {unknown} place
 * @returns {Place | null}
 */
function checked(work, place) {
  if (typeof place !== "object" || place === null) return null;
  const { step, bead } = /** @type {{step?: unknown, bead?: unknown}} */ (place);
  if (!Number.isInteger(step) || !Number.isInteger(bead)) return null;
  const at = { step: Number(step), bead: Number(bead) };
  const there = work.steps[at.step];
  return there && at.bead >= 0 && at.bead <= beadsOf(there) ? at : null;
}

/**
 * What the browser keeps.
 * @param {Standing} now
 */
export function written({ place, past, counting }) {
  const pairs = past.map(({ step, bead }) => [step, bead]);
  return JSON.stringify({ version: 1, place, counting, past: pairs });
}

/**
 * What the browser kept; null if it is not of this work or damaged.
 * @param {Work} work
 * @param {string | null} text
 * @returns {Standing | null}
 */
export function remembered(work, text) {
  if (!text) return null;
  try {
    const kept = JSON.parse(text);
    const place = checked(work, kept.place);
    if (!place || kept.version !== 1) return null;
    const pairs = Array.isArray(kept.past) ? kept.past : [];
    const past = pairs.map((/** @type {unknown} */ pair) => (Array.isArray(pair) ? checked(work, { step: pair[0], bead: pair[1] }) : null));
    return { place, past: past.filter((/** @type {Place | null} */ one) => one !== null), counting: kept.counting === true };
  } catch {
    return null;
  }
}

/**
 * The place as a file that can be taken to another browser.
 * @param {Work} work
 * @param {Place} place
 */
export function exported(work, place) {
  const at = work.steps[place.step]?.name ?? "";
  const file = { format: "upbead-place", version: 1, chart: work.id, title: work.title, at, ...place };
  return JSON.stringify(file, null, 2) + "\n";
}

/**
 * The place that such a file names, or why it cannot be taken.
 * @param {Work} work
 * @param {string} text
 * @returns {{place: Place} | {fault: string}}
 */
export function imported(work, text) {
  let file;
  try {
    file = JSON.parse(text);
  } catch {
    return { fault: "That file keeps no place: choose one that this page saved." };
  }
  if (file?.format !== "upbead-place" || file.version !== 1) {
    return { fault: "That file keeps no place: choose one that this page saved." };
  }
  if (file.chart !== work.id) {
    const title = typeof file.title === "string" && file.title ? ` (${file.title})` : "";
    return { fault: `That file keeps the place of another chart${title}.` };
  }
  const place = checked(work, file);
  return place ? { place } : { fault: "That file names a place that this chart does not have." };
}
