// Pictures, palettes, charts and kept work come in.

import * as asking from "./ask.js";
import * as charts from "./chart.js";
import { counted, get, make, number, part, say } from "./dom.js";
import * as files from "./files.js";
import * as keeping from "./keep.js";
import { wish, wishedOf } from "./picture.js";
import { chart, desk, isUnsaved } from "./state.js";
import { fault, forgive } from "./notice.js";
import { putOutSome, strongest } from "./colours.js";
import { frame, hands, mat } from "./table.js";
import { layEverything, layPalette, layPicture, putBandIntoForm } from "./lay.js";
import { heed } from "./program.js";
import { refused } from "./work.js";
import { act, begin, keepLater, show } from "./deeds.js";
import { remake, wishesChanged } from "./make.js";
import { layTheDrawer } from "./chest.js";

/** @typedef {import("./chart.js").Colour} Colour */

/** @param {File} file */
export async function takeFile(file) {
  const kind = files.kindOf(file);
  if (file.size > files.MOST[kind]) {
    fault({
      what: `${file.name} has ${number(Math.round(file.size / 1e6))} MB`,
      hint: `the desk takes a ${kind} of up to ${files.MOST[kind] >> 20} MB; make it smaller first`,
    });
    return;
  }
  if (kind === "picture") await takePicture(file.name, await file.arrayBuffer());
  if (kind === "palette") await takePalette(file.name, await file.text(), true);
  if (kind === "chart") await takeChart(file.name, await file.text());
}

/** @param {string} name @param {ArrayBuffer} bytes */
async function takePicture(name, bytes) {
  say(`${name} is being read`);
  const answer = await heed(() => asking.ask(`picture?name=${encodeURIComponent(name)}`, { raw: bytes }), name);
  if (!answer) return;
  forgive();
  // A chart that was opened meets its own picture: it stays as it is, to be measured or refined.
  const brought = !desk.picture && desk.history?.chart.made.sha256 === answer.id;
  desk.picture = { name, bytes, id: answer.id, width: answer.width, height: answer.height };
  desk.brought = brought;
  frame.show(desk.picture, brought ? cropOf(name, chart().made.options.crop) : null);
  layPicture();
  if (brought) wish(wishedOf(chart().made.options));
  if (!(await keeping.keepPicture({ name, bytes }))) refused();
  if (!brought) return void (await remake());
  show([]);
  say(`${name} is the picture of this band, which stays as it is`);
}

/** The part of a picture that a chart is of. A drawing's is counted in the pixels of its band, so there she draws the frame anew.
 * @param {string} name @param {string | undefined} crop as a chart says it */
function cropOf(name, crop) {
  if (!crop || /\.svgz?$/i.test(name)) return null;
  const [x, y, width, height] = crop.split(",").map(Number);
  return { x, y, width, height };
}

/** The chart stays; only the print goes back into its folder. */
export function putPictureAway() {
  desk.picture = null;
  desk.brought = false;
  frame.show(null, null);
  layPicture();
  void keeping.keepPicture(null);
  keepLater();
}

/** @param {string} name @param {string} text @param {boolean} [again] whether the picture is charted anew in these colours */
export async function takePalette(name, text, again = false) {
  const answer = await heed(() => asking.ask(`palette?name=${encodeURIComponent(name)}`, { raw: text }), name);
  if (!answer) return false;
  forgive();
  desk.palette = { id: answer.id, name: answer.name ?? name.replace(/\.[^.]*$/, ""), file: name, text, colours: answer.colours };
  // A dish that stays is filled from the new drawer.
  desk.out = desk.out.flatMap(({ code }) => answer.colours.filter((/** @type {Colour} */ colour) => colour.code === code));
  layPalette();
  if (again) {
    say(`${desk.palette.name}: ${counted(answer.colours.length, "colour")} in the drawer`);
    if (desk.history) {
      putOutSome();
      show([]);
    }
    layTheDrawer();
    wishesChanged();
  }
  return true;
}

/** A photograph of bead piles becomes the palette in the drawer. @param {File} file */
export async function takePhoto(file) {
  say(`${file.name} is being read`);
  const bytes = await file.arrayBuffer();
  const how = ["grid", "spots", "white"].map((id) => [id, get(id, HTMLInputElement).value.trim()]).filter(([, value]) => value);
  const asked = new URLSearchParams([["name", file.name], ...how]);
  const answer = await heed(() => asking.ask(`photo?${asked}`, { raw: bytes }), file.name);
  if (!answer) return;
  seen = { name: `${answer.name.replace(/\.csv$/i, "")}-seen.json`, text: answer.document };
  part("photo-told").hidden = false;
  part("photo-doubts").replaceChildren(...answer.doubts.map((/** @type {string} */ doubt) => make("li", {}, doubt)));
  if (answer.doubts.length) get("photo-how", HTMLDetailsElement).open = true;
  await takePalette(answer.name, answer.text, true);
}

/** What the last photograph showed. @type {{name: string, text: string} | null} */
let seen = null;

/** Saves what the last photograph showed, for other programs. */
export function saveSeen() {
  if (seen) files.download(new Blob([seen.text], { type: "application/json" }), seen.name);
}

/** @param {string} name @param {string} text */
export async function takeChart(name, text) {
  const answer = await heed(() => asking.ask(`read?name=${encodeURIComponent(name)}`, { raw: text }), name);
  if (!answer) return;
  forgive();
  const now = charts.read(answer.text);
  putPictureAway();
  const wanted = now.made.options.palette;
  const known = desk.begin.palettes.find((/** @type {{name: string}} */ each) => each.name.replace(/\.[^.]*$/, "") === wanted);
  if (known && desk.palette?.name !== wanted) await takePalette(known.name, known.text);
  if (desk.history && isUnsaved()) {
    // What lies on the mat is not thrown away: it can be undone back to.
    act({ kind: "whole", from: chart(), to: now }, `${name} opened`);
    desk.file = name;
    desk.saved = desk.history.done.at(-1);
    files.elsewhere();
  } else {
    begin(now, answer.text, name);
  }
  desk.hand = strongest(now);
  putBandIntoForm(now);
  layEverything();
  say(`${name}: ${counted(now.beads.length, "bead")}`);
}

/** Takes kept work up again. @param {any} work */
export async function takeUp(work) {
  wish(work.wished);
  desk.pinned = new Set(work.pinned);
  desk.banned = new Set(work.banned);
  if (work.palette) await takePalette(work.palette.file, work.palette.text);
  const history = new charts.History(work.chart);
  history.done = work.done;
  history.undone = work.undone;
  desk.history = history;
  desk.origin = work.origin;
  desk.saved = work.saved === 0 ? null : work.saved > 0 ? work.done[work.saved - 1] : {};
  desk.file = work.file;
  desk.out = work.out;
  desk.hand = work.hand;
  desk.notes = work.notes;
  hands.axes = work.axes;
  putOutSome();
  const picture = work.picture ? await keeping.keptPicture() : null;
  if (picture) {
    const answer = await heed(() => asking.ask(`picture?name=${encodeURIComponent(picture.name)}`, { raw: picture.bytes }), picture.name);
    if (answer) desk.picture = { ...picture, id: answer.id, width: answer.width, height: answer.height };
    desk.brought = work.brought === true && desk.picture !== null;
  }
  frame.show(desk.picture, work.crop);
  layPicture();
  mat.fitted = true;
  show();
}

export async function openChart() {
  const file = await files.choose("pick-chart");
  if (file) await takeFile(file);
}

/** Unsaved work of another file waits; she says whether she wants it now. @param {import('./keep.js').Slot} slot */
export async function offerSlot(slot) {
  const picture = await keeping.keptPicture();
  await keeping.another();
  part("offer-words").textContent =
    `Unsaved work on ${slot.work.chart.title ?? (slot.work.file || "a band without a name")} is kept from ${new Date(slot.when).toLocaleString("en-GB", { dateStyle: "medium", timeStyle: "short" })}.`;
  part("offer").hidden = false;
  part("offer-take").onclick = async () => {
    part("offer").hidden = true;
    if (picture) await keeping.keepPicture(picture);
    await takeUp(slot.work);
    keepLater();
  };
  part("offer-leave").onclick = () => {
    part("offer").hidden = true;
  };
}
