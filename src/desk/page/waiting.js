// Options that were changed after the band was charted and that wait, since beads were changed by
// hand: which of them refining takes, and which it cannot.

import { readFields } from "./options.js";
import { state } from "./state.js";
import { cropFrame } from "./views.js";

/** @typedef {Record<string, string | boolean>} Snapshot what the form said, by field */

/** What refining takes. */
const TAKEN = ["distances", "distances-custom", "calm", "simplify"];
/** What acts on a drawn band at once, and what is not about charting. */
const ELSEWHERE = new Set([
  ...["columns", "length-by", "size", "rows", "swatch", "fits", "prefer", "pin", "refine"],
  ...["plain-colour", "below", "grid", "spots", "white", "compare-distances", "compare-as-set"],
]);
/** What is no field of the form, in words that the page shows. @type {Record<string, string>} */
const NAMES = { crop: "the frame on the picture", kept: "“Keep in”", excluded: "“Leave out”" };

/** What the form says now, with the frame and the choices of colours. @returns {Snapshot} */
export function snapshot() {
  const { crop } = cropFrame;
  return {
    ...readFields(),
    crop: crop ? [crop.x, crop.y, crop.width, crop.height].join() : "",
    kept: [...state.keptColours].sort().join(),
    excluded: [...state.excludedColours].sort().join(),
  };
}

/** The band is charted with what the form says now. */
export function markCharted() {
  state.chartedWith = snapshot();
}

/**
 * The names of what waits.
 * @returns {{taken: string[], left: string[]}} what refining takes, and what it cannot
 */
export function waiting() {
  const before = state.chartedWith;
  if (!before) return { taken: [], left: [] };
  const now = snapshot();
  const changed = Object.keys(now).filter(
    (id) => !ELSEWHERE.has(id) && id in before && now[id] !== before[id],
  );
  const names = (/** @type {string[]} */ ids) => [...new Set(ids.map(nameOf))];
  return {
    taken: names(changed.filter((id) => TAKEN.includes(id))),
    left: names(changed.filter((id) => !TAKEN.includes(id))),
  };
}

/** A field by its label. @param {string} id */
function nameOf(id) {
  const label = document.getElementById(id)?.closest("label");
  const words = (label?.querySelector("span") ?? label)?.textContent ?? id;
  return NAMES[id] ?? `“${words.replace(/\s+/g, " ").trim()}”`;
}

/**
 * Words in a row: `“Ground” and “Mirror”`.
 * @param {string[]} words
 */
export function listed(words) {
  const rest = words.slice(0, -1);
  const last = words.at(-1) ?? "";
  return rest.length ? `${rest.join(", ")} and ${last}` : last;
}
