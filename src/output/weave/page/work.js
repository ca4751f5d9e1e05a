// The shape of the JSON that the page carries, and what is read from it.

/**
 * @typedef {{name: string, about: string, hex: string, count: number}} Colour
 * @typedef {{width: number, height: number, bead: number[], left: number[], top: number[],
 *   colour: number[], row: number[]}} Band
 *   lengths in millimetres from the upper left corner, beads in lattice order
 * @typedef {{kind: "ordinary" | "eight" | "edge" | "bridge" | "end", words: string, how?: string,
 *   first: boolean}} Turn
 * @typedef {{heading: string, paragraphs: string[]}} Part
 * @typedef {{kind: "strung" | "row" | "sewn" | "done", name: string, part?: string,
 *   way?: "left" | "right", beads?: number[], through?: number[], runs?: [number, number][],
 *   turn?: Turn, drawing?: {source: string, shows: string}, text?: string[],
 *   reading?: boolean, notes?: Part[]}} Step
 * @typedef {{way: "left" | "right", same: string, over: string, sides: string}}
 *   Turning words for those who turn the work over after each row, and the direction they weave in
 * @typedef {{id: string, title: string, facts: string[], colours: Colour[], band: Band,
 *   steps: Step[], help: Part[], turning?: Turning}} Work
 */

/**
 * How many beads a step picks up.
 * @param {Step} step
 */
export function beadCount(step) {
  return step.beads?.length ?? 0;
}

/**
 * The direction of a step as the weaver sees it: rows always go the same way where the work is
 * turned over after each of them.
 * @param {Work} work
 * @param {Step} step
 * @param {boolean} isTurned
 */
export function shownWay({ turning }, step, isTurned) {
  return isTurned && turning && step.kind === "row" ? turning.way : step.way;
}

/**
 * How many beads all steps pick up.
 * @param {Work} work
 */
export function totalBeads(work) {
  return work.steps.reduce((sum, step) => sum + beadCount(step), 0);
}

/**
 * How many beads are picked up before a place.
 * @param {Work} work
 * @param {{step: number, bead: number}} place
 */
export function beadsBefore(work, place) {
  const before = work.steps.slice(0, place.step);
  return before.reduce((sum, step) => sum + beadCount(step), 0) + place.bead;
}

/**
 * Beads as runs of one colour, in their order: colour and count.
 * @param {Work} work
 * @param {number[]} beads
 * @returns {[number, number][]}
 */
export function runsOf(work, beads) {
  /** @type {[number, number][]} */
  const runs = [];
  for (const bead of beads) {
    const colour = work.band.colour[bead] ?? 0;
    const last = runs.at(-1);
    if (last && last[0] === colour) last[1] += 1;
    else runs.push([colour, 1]);
  }
  return runs;
}

/**
 * `4 garnet, 1 gold`; `space` stands between a count and its name.
 * @param {Work} work
 * @param {[number, number][]} runs
 */
export function runsInWords(work, runs, space = " ") {
  return runs.map(([colour, count]) => `${count}${space}${colourName(work, colour)}`).join(", ");
}

/**
 * @param {Work} work
 * @param {number} colour
 */
export function colourName(work, colour) {
  return work.colours[colour]?.name ?? "";
}

/**
 * The six digits of a colour.
 * @param {Work} work
 * @param {number} colour
 */
export function colourHex(work, colour) {
  return work.colours[colour]?.hex ?? "000000";
}

/** Numbers with thousands separators, as in every other output. */
const GROUPED = new Intl.NumberFormat("en-GB");

/**
 * `20,000`.
 * @param {number} value
 */
export function grouped(value) {
  return GROUPED.format(value);
}

/**
 * `1 bead`, `20,000 beads`.
 * @param {number} count
 */
export function countedBeads(count) {
  return `${grouped(count)} ${count === 1 ? "bead" : "beads"}`;
}
