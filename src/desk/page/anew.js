// A finished chart again: refined round the beads that stay, moved onto another palette; how near it comes to its picture, and the sizes beside its own.

import * as asking from "./ask.js";
import * as charts from "./chart.js";
import * as lattice from "./lattice.js";
import { atWork, calmly, counted, get, make, number, part, say } from "./dom.js";
import { bead, gauge, wish } from "./picture.js";
import { chart, desk, fileName, textOf } from "./state.js";
import { fault } from "./notice.js";
import { layEverything } from "./lay.js";
import { heed, remembering } from "./program.js";
import { act } from "./deeds.js";
import { wishesChanged } from "./make.js";
import { strongest } from "./colours.js";

/** Whether the palette in the drawer has every colour of the band. */
function suits() {
  return chart().colours.every((colour) => desk.palette?.colours.some((other) => other.code === colour.code));
}

/** The beads set by hand since the chart came out of its picture; null if the band has been resized or shifted since. @returns {number[] | null} */
function mendedBeads() {
  /** @type {Set<number>} */
  const set = new Set();
  const done = desk.history?.done ?? [];
  for (let at = done.length - 1; at >= 0; at--) {
    const { command } = done[at];
    if (command.kind === "whole") break;
    if (command.kind === "beads") for (const each of command.at) set.add(each);
    else if (command.kind !== "words" && command.kind !== "colours" && !isAnew(command)) return null;
  }
  return [...set];
}

/** @param {charts.Command} command */
function isAnew(command) {
  return command.kind === "all" && command.parts.length === 1 && command.parts[0].kind === "whole";
}

/** Puts a chart made anew in the place of the one on the mat; it counts as mended by hand, so that no change of a wish throws it away unasked.
 * @param {string} text @param {string} said */
function replace(text, said) {
  act({ kind: "all", parts: [{ kind: "whole", from: chart(), to: charts.read(text) }] }, said);
  if (!chart().colours.some((colour) => colour.code === desk.hand?.code)) desk.hand = strongest(chart());
  layEverything();
}

export async function refineRound() {
  const { picture, palette } = desk;
  if (!picture) return;
  const beads = mendedBeads();
  if (!beads) {
    fault({ what: "rows or columns have moved since the picture was charted", hint: "take that back, or chart the picture anew" });
    return;
  }
  const now = chart();
  const pin = beads.map((each) => lattice.place(now, each)).map(({ row, column }) => `${row}:${column}`);
  const answer = await atWork(() =>
    heed(() =>
      remembering(() =>
        asking.ask("refine", {
          lane: "chart",
          body: {
            chart: textOf(),
            name: fileName(),
            picture: picture.id,
            palette: palette && suits() ? { id: palette.id } : undefined,
            pin: pin.length ? pin.join(",") : undefined,
            seen: get("seen-for", HTMLSelectElement).value || undefined,
            calm: Number(get("calm", HTMLInputElement).value) || undefined,
          },
        }),
      ),
    ),
  );
  if (!answer || chart() !== now) return;
  replace(answer.text, `refined round ${counted(pin.length, "bead")} of yours`);
}

export async function swapOnto() {
  const { palette } = desk;
  if (!palette) return;
  const now = chart();
  const answer = await heed(() =>
    remembering(() => asking.ask("swap", { body: { chart: textOf(), name: fileName(), palette: { id: palette.id } } })),
  );
  if (!answer || chart() !== now) return;
  replace(answer.text, `the band moved onto ${palette.name}`);
  layOffer();
}

/** Offers to move the band where the drawer lacks some of its colours. */
export function layOffer() {
  part("swap-offer").hidden = !desk.history || suits() || !(desk.begin.offers ?? []).includes("swap");
}

/** What a distance is called. @type {Record<string, string>} */
const FROM = { 300: "In the hand", 700: "Worn", 2000: "Across a table" };

export const nearLater = calmly(() => void askNear(), 400);

/** How far the band looks from its picture, while that is unfolded. */
async function askNear() {
  const { picture, history } = desk;
  const known = picture !== null && history !== null && history.chart.made.sha256 === picture.id && (desk.begin.offers ?? []).includes("compare");
  part("near").hidden = !known;
  if (!known || !get("near", HTMLDetailsElement).open) return;
  const answer = await heed(() =>
    remembering(() => asking.ask("compare", { body: { chart: textOf(), name: fileName(), picture: picture.id }, lane: "near" })),
  );
  if (!answer) return;
  const off = (/** @type {number} */ mean) => `${number(Math.round(mean * 10) / 10)} off`;
  /** @type {[string, string][]} */
  const rows = answer.seen.map((/** @type {{distance_mm: number, mean: number}} */ each) => [FROM[each.distance_mm] ?? `${each.distance_mm} mm`, off(each.mean)]);
  rows.push(["Colour changes", number(answer.colour_changes)], ["Beads alone", number(answer.alone)]);
  part("near-numbers").replaceChildren(...rows.flatMap(([name, value]) => [make("dt", {}, name), make("dd", {}, value)]));
}

export const besideLater = calmly(() => void askBeside(), 150);

/** The row counts beside the one that was chosen for a size, while they are unfolded. */
async function askBeside() {
  const size = get("size", HTMLInputElement).value.trim();
  const bySize = get("length-by", HTMLSelectElement).value === "size" && size !== "";
  part("beside").hidden = !bySize || !(desk.begin.offers ?? []).includes("fit");
  if (!bySize || !get("beside", HTMLDetailsElement).open) return;
  const columns = Number(get("columns", HTMLInputElement).value);
  const answer = await heed(() => asking.ask("fit", { body: { size, columns, bead: bead(), ...gauge() }, lane: "fit" }));
  if (!answer) return;
  part("beside-rows").replaceChildren(
    ...answer.near.map((/** @type {{rows: number, diameter_mm: number, us: number | null, iso: number}} */ each) => {
      const label = each.us === null ? `ISO ${each.iso}` : `US ${number(each.us)}`;
      const button = make("button", { type: "button", "aria-pressed": String(each.rows === answer.rows) }, `${each.rows} rows`);
      button.append(make("span", {}, `${each.diameter_mm.toFixed(1)} mm`), make("span", {}, label));
      button.addEventListener("click", () => takeRows(each.rows));
      return make("li", {}, button);
    }),
  );
}

/** @param {number} rows */
function takeRows(rows) {
  wish({ "length-by": "rows", rows: String(rows) });
  part("beside").hidden = true;
  get("rows", HTMLInputElement).focus();
  say(`${rows} rows`);
  wishesChanged();
}
