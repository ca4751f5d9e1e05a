// The place in the work: which step, and how many of its beads are picked up. Pure functions:
// nothing is shown or stored here.

/** @import { Work } from "./work.js" */
import { beadCount } from "./work.js";

/**
 * @typedef {{step: number, bead: number}} Place
 * @typedef {{place: Place, past: Place[], counting: boolean, isTurned: boolean}} Progress
 *   the place, the places before it for undo, whether beads are counted one by one, and whether the
 *   work is turned over after each row
 */

/** How many places can be undone. */
const MOST_PAST = 200;
/** What is said of a file that holds no place. */
const NO_PLACE = "That file is not a saved place. Choose a file that this page has saved.";

/** @returns {Progress} */
export function firstProgress() {
  return { place: { step: 0, bead: 0 }, past: [], counting: false, isTurned: false };
}

/**
 * The place one bead or one step on.
 * @param {Work} work
 * @param {Progress} now
 * @returns {Place}
 */
export function nextPlace(work, { place, counting }) {
  const step = work.steps[place.step];
  if (counting && step && place.bead < beadCount(step)) {
    return { step: place.step, bead: place.bead + 1 };
  }
  if (place.step + 1 < work.steps.length) return { step: place.step + 1, bead: 0 };
  return place;
}

/**
 * The place one bead back, or at the start of this step or of the one before.
 * @param {Work} work
 * @param {Progress} now
 * @returns {Place}
 */
export function previousPlace(work, { place, counting }) {
  if (place.bead > 0) return { step: place.step, bead: counting ? place.bead - 1 : 0 };
  if (place.step === 0) return place;
  const before = work.steps[place.step - 1];
  return { step: place.step - 1, bead: counting && before ? beadCount(before) : 0 };
}

/**
 * Another place, with this one for undo.
 * @param {Progress} now
 * @param {Place} place
 * @returns {Progress}
 */
export function movedTo(now, place) {
  if (place.step === now.place.step && place.bead === now.place.bead) return now;
  return { ...now, place, past: [...now.past, now.place].slice(-MOST_PAST) };
}

/**
 * The place before the last move.
 * @param {Progress} now
 * @returns {Progress}
 */
export function undoneMove(now) {
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
 * The place if the work has it, else null.
 * @param {Work} work
 * @param {unknown} place
 * @returns {Place | null}
 */
function checkedPlace(work, place) {
  if (typeof place !== "object" || place === null) return null;
  const { step, bead } = /** @type {{step?: unknown, bead?: unknown}} */ (place);
  if (!Number.isInteger(step) || !Number.isInteger(bead)) return null;
  const at = { step: Number(step), bead: Number(bead) };
  const known = work.steps[at.step];
  return known && at.bead >= 0 && at.bead <= beadCount(known) ? at : null;
}

/**
 * What the browser stores.
 * @param {Progress} now
 */
export function writeProgress({ place, past, counting, isTurned }) {
  const pairs = past.map(({ step, bead }) => [step, bead]);
  return JSON.stringify({ version: 1, place, counting, isTurned, past: pairs });
}

/**
 * What the browser has stored; null if it is damaged or not of this work.
 * @param {Work} work
 * @param {string | null} text
 * @returns {Progress | null}
 */
export function readProgress(work, text) {
  if (!text) return null;
  try {
    const stored = JSON.parse(text);
    const place = checkedPlace(work, stored.place);
    if (!place || stored.version !== 1) return null;
    /** @type {unknown[]} */
    const pairs = Array.isArray(stored.past) ? stored.past : [];
    const past = pairs.flatMap((pair) => {
      const [step, bead] = Array.isArray(pair) ? pair : [];
      return checkedPlace(work, { step, bead }) ?? [];
    });
    return { place, past, counting: stored.counting === true, isTurned: stored.isTurned === true };
  } catch {
    return null;
  }
}

/**
 * The place as a file that can be opened in another browser.
 * @param {Work} work
 * @param {Place} place
 */
export function writePlaceFile(work, place) {
  const at = work.steps[place.step]?.name ?? "";
  const file = { format: "upbead-place", version: 1, chart: work.id, title: work.title, at };
  return `${JSON.stringify({ ...file, ...place }, null, 2)}\n`;
}

/**
 * The place in such a file, or why it cannot be used.
 * @param {Work} work
 * @param {string} text
 * @returns {{place: Place} | {fault: string}}
 */
export function readPlaceFile(work, text) {
  let file;
  try {
    file = JSON.parse(text);
  } catch {
    return { fault: NO_PLACE };
  }
  if (file?.format !== "upbead-place" || file.version !== 1) return { fault: NO_PLACE };
  if (file.chart !== work.id) {
    const title = typeof file.title === "string" && file.title ? ` (${file.title})` : "";
    return { fault: `That file holds a place in another chart${title}.` };
  }
  const place = checkedPlace(work, file);
  return place ? { place } : { fault: "That file holds a place that this chart does not have." };
}
