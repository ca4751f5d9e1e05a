// From the picture and what is wished to a chart.

import * as asking from "./ask.js";
import * as charts from "./chart.js";
import { atWork, calmly, get } from "./dom.js";
import { gauge, suit, wishes } from "./picture.js";
import { chart, desk, fileName, hand } from "./state.js";
import { forgive } from "./notice.js";
import { isOwned, putOutSome, strongest, ticked } from "./colours.js";
import { frame } from "./table.js";
import { layEverything } from "./lay.js";
import { heed, remembering } from "./program.js";
import { act, begin, factsLater, keepLater } from "./deeds.js";

const remakeSoon = calmly(() => {
  if (follows()) void remake(true);
}, 15);

/** Counts what was asked for, and what came on the mat besides: an answer is laid only if nothing came after its question. */
let turns = 0;

/** Another chart or another picture is on the mat, or the picture is put away: the charting under way is wanted no more. */
export function turnAway() {
  turns += 1;
  asking.leave("chart");
}

/** Whether the band follows its picture as long as no bead is mended by hand. */
function follows() {
  return desk.picture !== null && desk.palette !== null && !desk.brought && !desk.history?.isMended();
}

/** A wish changed: the picture is charted again, unless beads mended by hand would be lost. */
export function wishesChanged() {
  suit();
  keepLater();
  factsLater();
  if (!follows()) return;
  // A figure half typed is not meant yet.
  if (!get("wishes", HTMLFormElement).checkValidity()) return;
  remakeSoon();
}

/** Wishes whose best seat the program has looked for already, so that it answers at once. @type {Set<string>} */
const seated = new Set();

/** Where the motif sits on the mat: it is shown there until its best seat is found. @param {import("./picture.js").Wishes} all */
function seatSoFar(all) {
  const { place, seat } = desk.history?.chart.made.options ?? {};
  return all.place === "motif" && all.seat === undefined && place === "motif" ? seat : undefined;
}

/** Charts the picture as wished, or lays a plain band. @param {boolean} [unasked] because a wish changed, not by the button */
export async function remake(unasked = false) {
  const { palette, picture } = desk;
  if (!palette) return;
  const turn = ++turns;
  const all = wishes();
  const ticks = ticked();
  const left = palette.colours.filter((colour) => desk.banned.has(colour.code) || !isOwned(colour.code, ticks)).map((colour) => colour.code);
  const has = (/** @type {string} */ code) => palette.colours.some((colour) => colour.code === code);
  /** @type {Record<string, unknown>} */
  const body = {
    palette: { id: palette.id },
    name: desk.history ? fileName() : undefined,
    title: desk.history?.chart.title,
    columns: all.columns,
    size: all.size,
    rows: all.rows,
    open: all.open,
    bead: all.bead,
    ...gauge(),
  };
  if (picture) {
    const keep = [...desk.pinned].filter(has);
    Object.assign(body, all, { picture: picture.id, keep: keep.length ? keep : undefined, without: left.length ? left : undefined });
    const { crop } = frame;
    if (crop) body.crop = [crop.x, crop.y, crop.width, crop.height];
    if (all.ground && !has(String(all.ground))) body.ground = undefined;
  } else {
    body.ground = get("plain-colour", HTMLSelectElement).value;
  }
  const charted = (/** @type {Record<string, unknown>} */ wish) => heed(() => remembering(() => asking.ask("chart", { body: wish, lane: "chart" })), picture?.name);
  const word = JSON.stringify({ ...body, title: undefined, name: undefined });
  const seat = unasked && !seated.has(word) ? seatSoFar(all) : undefined;
  const answer = await atWork(async () => {
    if (seat) await layMeanwhile({ ...body, seat }, turn);
    return turn === turns ? charted(body) : undefined;
  });
  if (!answer || turn !== turns) return;
  seated.add(word);
  lay(answer, unasked);
}

/** Lays the band with its motif where it sits so far; a seat that does not suit the new band is no fault, since a better one is on its way.
 * @param {Record<string, unknown>} body @param {number} turn */
async function layMeanwhile(body, turn) {
  try {
    const first = await asking.ask("chart", { body, lane: "chart" });
    if (turn === turns) lay(first, true);
  } catch (cause) {
    if (!(cause instanceof asking.NoAnswer)) throw cause;
  }
}

/** Lays what was charted on the mat. @param {any} answer @param {boolean} unasked */
function lay(answer, unasked) {
  const { picture } = desk;
  forgive();
  desk.notes = answer.notes ?? [];
  desk.brought = false;
  if (!desk.history) {
    begin(charts.read(answer.text), answer.text, "");
    return;
  }
  // Beads set while the answer was on its way are not thrown away.
  if (unasked && desk.history.isMended()) return;
  const made = named(charts.read(answer.text), chart());
  const said = picture ? `charted from ${picture.name}` : "a plain band";
  act({ kind: "whole", from: chart(), to: made }, said, true);
  desk.told = { chart: chart(), text: answer.document };
  if (!made.colours.some((colour) => colour.code === hand().code)) desk.hand = strongest(made);
  putOutSome();
  layEverything();
}

/** A chart called as another is, whose name may have changed while it was asked for. @param {import("./chart.js").Chart} made
 * @param {import("./chart.js").Chart} now */
function named({ title: _title, ...made }, now) {
  return now.title === undefined ? made : { ...made, title: now.title };
}
