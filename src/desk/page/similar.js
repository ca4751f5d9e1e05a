// The colours of the palette that are hard to tell apart: side by side, and as single beads of a
// worn band, for each kind of colour vision.

import { create, debounce, element, get } from "./dom.js";
import { counted, number } from "./format.js";
import { ask } from "./requests.js";
import { state } from "./state.js";

/** @typedef {import("../answers.d.ts").PairReport} Pair Colours by their codes. */
/** @typedef {import("../answers.d.ts").SightReport} Sight */
/** @typedef {(code: string) => string} Namer */

/** Most pairs that are listed, and that a line names. */
const LISTED = 20;
const NAMED = 2;
/** The kinds of colour vision. @type {Record<string, string>} */
const SIGHTS = {
  full: "Full colour vision",
  protan: "Red-weak sight (protan)",
  deutan: "Green-weak sight (deutan)",
  tritan: "Blue-weak sight (tritan)",
};

export const updateSimilarLater = debounce(() => void updateSimilar(), 200);

/** Fetches the pairs while they are unfolded. */
async function updateSimilar() {
  const { palette } = state;
  const isShown = get("palette", HTMLDialogElement).open && get("similar", HTMLDetailsElement).open;
  const field = get("below", HTMLInputElement);
  if (!palette || !isShown || !field.checkValidity()) return;
  const body = { palette: { id: palette.id }, below: field.value.trim() || undefined };
  const answer = await ask("alike", { body, channel: "similar" });
  if (!answer) return;
  const name = (/** @type {string} */ code) =>
    palette.colours.find((colour) => colour.code === code)?.name ?? code;
  element("similar-pairs").replaceChildren(...pairItems(answer, name));
  const { worn } = answer;
  element("similar-worn-heading").textContent = worn
    ? `Worn, from ${number(worn.distance_mm)} mm, a single size 11 bead among beads of the other ` +
      "colour:"
    : "Worn: too many colours to compare.";
  element("similar-worn").replaceChildren(...(worn ? sightItems(worn.sights, name) : []));
}

/**
 * @param {import("../answers.d.ts").PaletteReport} answer
 * @param {Namer} name
 */
function pairItems({ pairs, pairs_count, below }, name) {
  const items = pairs.slice(0, LISTED).map((pair) => pairItem(pair, name));
  if (!items.length) {
    items.push(create("li", {}, `No two colours have a difference below ${number(below)}.`));
  }
  const more = pairs_count - LISTED;
  if (more > 0) items.push(create("li", {}, `and ${counted(more, "more pair")}`));
  return items;
}

/**
 * @param {Pair} pair
 * @param {Namer} name
 */
function pairItem({ one, other, difference }, name) {
  const chips = create("span", { class: "colour-pair", "aria-hidden": "true" });
  for (const code of [one, other]) {
    const colour = state.palette?.colours.find((each) => each.code === code);
    const chip = create("span");
    chip.style.background = `#${colour?.hex ?? "000000"}`;
    chips.append(chip);
  }
  return create(
    "li",
    {},
    chips,
    create("span", {}, `${name(one)} and ${name(other)}`),
    create("span", { class: "difference" }, difference.toFixed(2)),
  );
}

/**
 * A line for each kind of colour vision: the pairs that everybody confuses, and the further ones of
 * the other kinds.
 * @param {Sight[]} sights
 * @param {Namer} name
 */
function sightItems(sights, name) {
  const key = (/** @type {Pair} */ { one, other }) => `${one} ${other}`;
  const common = new Set(sights[0]?.pairs.map(key));
  return sights.map(({ sight, pairs, pairs_count, lost_count }, nth) => {
    const own = nth ? pairs.filter((pair) => !common.has(key(pair))) : pairs;
    const count = nth ? lost_count : pairs_count;
    const thing = nth ? "more pair" : "pair";
    const named = own
      .slice(0, NAMED)
      .map((pair) => `${name(pair.one)} and ${name(pair.other)} (${pair.difference.toFixed(1)})`);
    if (count > NAMED) named.push("…");
    const text = count ? `${counted(count, thing)}: ${named.join(", ")}` : `no ${thing}s`;
    return create("li", {}, `${SIGHTS[sight] ?? sight}: ${text}`);
  });
}
