// The colours of the drawer that are hard to tell apart: side by side, and as single beads when worn, for each kind of sight.

import * as asking from "./ask.js";
import { calmly, counted, get, make, number, part } from "./dom.js";
import { desk } from "./state.js";
import { heed, remembering } from "./program.js";

/** @typedef {{one: string, other: string, difference: number}} Pair */

/** Pairs that are listed, and that a line names. */
const LISTED = 20;
const NAMED = 2;
/** Kinds of sight in plain words. @type {Record<string, string>} */
const EYES = { full: "To all eyes", protan: "Where red is weak (protan)", deutan: "Where green is weak (deutan)", tritan: "Where blue is weak (tritan)" };

export const alikeLater = calmly(() => void askAlike(), 200);

/** Asks for the pairs while they are unfolded. */
async function askAlike() {
  const { palette } = desk;
  if (!palette || !get("drawer", HTMLDialogElement).open || !get("alike", HTMLDetailsElement).open) return;
  const field = get("below", HTMLInputElement);
  if (!field.checkValidity()) return;
  const answer = await heed(() =>
    remembering(() => asking.ask("alike", { body: { palette: { id: palette.id }, below: field.value.trim() || undefined }, lane: "alike" })),
  );
  if (!answer) return;
  const colours = new Map(palette.colours.map((colour) => [colour.code, colour]));
  const name = (/** @type {string} */ code) => colours.get(code)?.name ?? code;
  const pairs = answer.pairs.slice(0, LISTED).map((/** @type {Pair} */ pair) => {
    const chips = make("span", { class: "chips", "aria-hidden": "true" });
    for (const code of [pair.one, pair.other]) {
      const chip = make("span");
      chip.style.background = `#${colours.get(code)?.hex ?? "000000"}`;
      chips.append(chip);
    }
    return make("li", {}, chips, make("span", {}, `${name(pair.one)} and ${name(pair.other)}`), make("span", { class: "apart" }, pair.difference.toFixed(2)));
  });
  if (!pairs.length) pairs.push(make("li", {}, `No two colours are nearer than ${number(answer.below)}.`));
  if (answer.pairs_count > LISTED) pairs.push(make("li", {}, `and ${counted(answer.pairs_count - LISTED, "pair")} more`));
  part("alike-pairs").replaceChildren(...pairs);
  part("alike-head").textContent = answer.worn
    ? `Worn, ${number(answer.worn.distance_mm)} mm from the eye, a bead of size 11 among beads of the other colour:`
    : "Worn: too many colours to weigh.";
  part("alike-worn").replaceChildren(...(answer.worn ? lines(answer.worn.sights, name) : []));
}

/** A line for each kind of sight: what all eyes lose, and what the others lose beside it. @param {{sight: string, pairs: Pair[], pairs_count: number, lost_count: number}[]} sights
 * @param {(code: string) => string} name */
function lines(sights, name) {
  const known = new Set(sights[0]?.pairs.map(({ one, other }) => `${one} ${other}`));
  return sights.map(({ sight, pairs, pairs_count, lost_count }, nth) => {
    const own = nth ? pairs.filter(({ one, other }) => !known.has(`${one} ${other}`)) : pairs;
    const count = nth ? lost_count : pairs_count;
    const named = own.slice(0, NAMED).map((pair) => `${name(pair.one)} and ${name(pair.other)} (${pair.difference.toFixed(1)})`);
    if (count > NAMED) named.push("…");
    const more = nth ? "more " : "";
    return make("li", {}, `${EYES[sight] ?? sight}: ${count ? `${counted(count, `${more}pair`)}: ${named.join(", ")}` : `no ${more}pairs`}`);
  });
}
