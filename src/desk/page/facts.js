// Numbers beside the mat, and findings, each pinned to the beads it speaks of.

import * as lattice from "./lattice.js";
import { make, number, part } from "./dom.js";
import { plainly } from "./plainly.js";

/** @typedef {import('./chart.js').Chart} Chart */
/** @typedef {{kind: string, text: string, hint?: string | null, beads: ([number, number] | {row: number, column: number})[]}} Finding */
/** @typedef {object} Facts @property {any} kit @property {unknown} [lacking] colours that the palette does not have @property {Finding[]} findings @property {number} width_mm @property {number} length_mm
 * @property {{diameter_mm: number, us?: number | null, iso?: number | null, uk?: string | null} | null} [ring] */

/** The numbers of a band; what only the program knows is left out until it has answered. @param {Chart} chart @param {Facts | null} facts */
export function layNumbers(chart, facts) {
  const { length_mm, diameter_mm } = chart.bead;
  const width = chart.columns * length_mm;
  const length = ((chart.closed ? chart.rows : chart.rows + 1) * diameter_mm) / 2;
  /** @type {[string, string][]} */
  const rows = [];
  const ring = facts?.ring;
  if (ring) {
    const labels = [ring.us !== undefined && ring.us !== null ? `US ${sized(ring.us)}` : "", ring.iso ? `ISO ${ring.iso}` : ""].filter(Boolean).join(", ");
    rows.push(["Inside", `${number(ring.diameter_mm)} mm`]);
    if (labels) rows.push(["Fits", labels]);
  }
  rows.push(["Band", `${number(round(width))} × ${number(round(length))} mm`]);
  rows.push(["Beads", `${number(chart.beads.length)} in ${chart.columns} × ${number(chart.rows)}`]);
  const grams = facts?.kit?.total?.grams;
  if (grams) rows.push(["Weight", `${number(round(grams))} g, some to spare`]);
  const thread = facts?.kit?.thread?.each_mm;
  if (thread) rows.push(["Thread", thread >= 1000 ? `${number(Math.ceil(thread / 10) / 100)} m` : `${Math.ceil(thread / 10)} cm`]);
  part("numbers").replaceChildren(...rows.flatMap(([name, value]) => [make("dt", {}, name), make("dd", {}, value)]));
}

/** A size as it is sold, in halves, and beside it what the beads come to. @param {number} us */
function sized(us) {
  const sold = Math.round(us * 2) / 2;
  return sold === us ? number(us) : `${number(sold)} (${number(us)})`;
}

/** @param {number} value */
function round(value) {
  return Math.round(value * 10) / 10;
}

/** The beads of a finding that the band still has. @param {Chart} chart @param {Finding} finding */
export function beadsOf(chart, finding) {
  return finding.beads
    .map((bead) => (Array.isArray(bead) ? lattice.index(chart, bead[0], bead[1]) : lattice.index(chart, bead.row, bead.column)))
    .filter((bead) => bead >= 0);
}

/** Lays out what was found, or that nothing was. @param {Finding[]} findings @param {number} chosen the one whose beads are lit, or -1
 * @param {(nth: number) => void} pressed */
export function layFindings(findings, chosen, pressed) {
  const list = part("findings");
  if (!findings.length) {
    list.replaceChildren(make("li", { class: "hint" }, "Nothing stands out."));
    return;
  }
  const focused = document.activeElement;
  const held = focused instanceof HTMLElement && list.contains(focused) ? focused.dataset.nth : undefined;
  list.replaceChildren(
    ...findings.map((finding, nth) => {
      const button = make(
        "button",
        { type: "button", class: "finding", "aria-pressed": String(nth === chosen), "data-nth": nth },
        make("span", { class: "finding-text" }, capital(finding.text)),
        ...(finding.hint && nth === chosen ? [make("span", { class: "finding-hint" }, capital(finding.hint))] : []),
      );
      button.addEventListener("click", () => pressed(nth));
      return make("li", {}, button);
    }),
  );
  if (held !== undefined) /** @type {HTMLElement | null} */ (list.querySelector(`[data-nth="${held}"]`))?.focus({ preventScroll: true });
}

/** @param {string[]} notes */
export function layNotes(notes) {
  part("notes").replaceChildren(...notes.map((note) => make("li", {}, capital(note))));
}

/** A sentence of the program's, as the desk says it. @param {string} words */
export function capital(words) {
  const said = plainly(words);
  return said.charAt(0).toUpperCase() + said.slice(1);
}
