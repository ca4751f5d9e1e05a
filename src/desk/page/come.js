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
import { keep, refused } from "./work.js";
import { act, begin, keepLater, show } from "./deeds.js";
import { remake, turnAway, wishesChanged } from "./make.js";
import { layTheDrawer } from "./chest.js";

/** @typedef {import("./chart.js").Colour} Colour */

/** Pictures and charts in the order they came in, and the newest that is on the mat: one that was longer on its way than a newer one is left out. */
const came = { last: 0, here: 0 };

/** Whether what came as the `nth` takes the mat. @param {number} nth */
function arrives(nth) {
  if (nth < came.here) return false;
  came.here = nth;
  turnAway();
  return true;
}

/** @param {File} file */
export async function takeFile(file) {
  // Kept work and palettes come first.
  if (!desk.ready) await new Promise((up) => document.addEventListener("up", up, { once: true }));
  const kind = files.kindOf(file);
  if (file.size > files.MOST[kind]) {
    fault({
      what: `${file.name} has ${number(Math.round(file.size / 1e6))} MB`,
      hint: `the desk takes a ${kind} of up to ${files.MOST[kind] >> 20} MB; make it smaller first`,
    });
    return;
  }
  const nth = ++came.last;
  if (kind === "picture") await takePicture(file.name, await file.arrayBuffer(), nth);
  if (kind === "palette") await takePalette(file.name, await file.text(), true);
  if (kind === "chart") await takeChart(file.name, await file.text(), nth);
}

/** @param {string} name @param {ArrayBuffer} bytes @param {number} nth as it came in */
async function takePicture(name, bytes, nth) {
  say(`${name} is being read`);
  const answer = await heed(() => asking.ask(`picture?name=${encodeURIComponent(name)}`, { raw: bytes }), name);
  if (!answer || !arrives(nth)) return;
  forgive();
  // A chart that was opened meets its own picture: it stays as it is, to be measured or refined.
  const brought = !desk.picture && desk.history?.chart.made.sha256 === answer.id;
  desk.picture = { name, bytes, id: answer.id, width: answer.width, height: answer.height };
  desk.brought = brought;
  frame.show(desk.picture, brought ? cropOf(name, chart().made.options.crop) : null);
  layPicture();
  if (brought) wish(wishedOf(chart().made.options));
  if (!(await keeping.keepPicture({ name, bytes }))) refused();
  if (nth !== came.here) return;
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
  turnAway();
  desk.picture = null;
  desk.brought = false;
  frame.show(null, null);
  layPicture();
  void keeping.keepPicture(null);
  keepLater();
}

/** A palette as the program reads it, or null if it cannot be read. @param {string} name @param {string} text @returns {Promise<import("./state.js").Palette | null>} */
async function readPalette(name, text) {
  const answer = await heed(() => asking.ask(`palette?name=${encodeURIComponent(name)}`, { raw: text }), name);
  return answer ? { id: answer.id, name: answer.name ?? name.replace(/\.[^.]*$/, ""), file: name, text, colours: answer.colours } : null;
}

/** @param {import("./state.js").Palette} palette */
function layIn(palette) {
  desk.palette = palette;
  // A dish that stays is filled from the new drawer.
  desk.out = desk.out.flatMap(({ code }) => palette.colours.filter((colour) => colour.code === code));
  layPalette();
}

/** @param {string} name @param {string} text @param {boolean} [again] whether the picture is charted anew in these colours */
export async function takePalette(name, text, again = false) {
  const palette = await readPalette(name, text);
  if (!palette) return false;
  forgive();
  layIn(palette);
  if (again) {
    say(`${palette.name}: ${counted(palette.colours.length, "colour")} in the drawer`);
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

/** @param {string} name @param {string} text @param {number} [nth] as it came in */
export async function takeChart(name, text, nth = ++came.last) {
  const answer = await heed(() => asking.ask(`read?name=${encodeURIComponent(name)}`, { raw: text }), name);
  if (!answer) return;
  const now = charts.read(answer.text);
  const wanted = now.made.options.palette;
  const known = desk.begin.palettes.find((/** @type {{name: string}} */ each) => each.name.replace(/\.[^.]*$/, "") === wanted);
  const palette = known && desk.palette?.name !== wanted ? await readPalette(known.name, known.text) : null;
  if (!arrives(nth)) return;
  forgive();
  putPictureAway();
  if (palette) layIn(palette);
  if (desk.history && isUnsaved()) {
    // What lies on the mat is not thrown away: it can be undone back to.
    act({ kind: "whole", from: chart(), to: now }, `${name} opened`);
    /** @type {import("./state.js").Deed} */
    const deed = desk.history.done[desk.history.done.length - 1];
    deed.file = { from: desk.file, to: name };
    desk.file = name;
    desk.saved = deed;
    files.elsewhere();
  } else {
    begin(now, answer.text, name);
  }
  desk.hand = strongest(now);
  putBandIntoForm(now);
  layEverything();
  say(`${name}: ${counted(now.beads.length, "bead")}`);
}

/** Takes kept work up again, in its own slot, which the page holds. @param {keeping.Slot} slot */
export async function takeUp({ id, work }) {
  const nth = ++came.last;
  const palette = work.palette ? await readPalette(work.palette.file, work.palette.text) : null;
  const picture = await pictureOf(id, work);
  // What lies on the mat stays in the slot it is in.
  await keep();
  if (!arrives(nth)) return false;
  keeping.use(id);
  if (palette) layIn(palette);
  desk.out = work.out;
  wish(work.wished);
  desk.pinned = new Set(work.pinned);
  desk.banned = new Set(work.banned);
  const history = new charts.History(work.chart);
  history.done = work.done;
  history.undone = work.undone;
  desk.history = history;
  desk.fresh = true;
  desk.facts = null;
  desk.origin = work.origin;
  desk.saved = work.saved === 0 ? null : work.saved > 0 ? work.done[work.saved - 1] : {};
  desk.file = work.file;
  files.elsewhere();
  desk.hand = work.hand;
  desk.notes = work.notes;
  hands.axes = work.axes;
  putOutSome();
  desk.picture = picture;
  desk.brought = work.brought === true && picture !== null;
  frame.show(picture, work.crop);
  layPicture();
  mat.fitted = true;
  show();
  return true;
}

/** The picture of kept work, which the program has read again. @param {string} id @param {any} work @returns {Promise<typeof desk.picture>} */
async function pictureOf(id, work) {
  const picture = work.picture ? await keeping.keptPicture(id) : null;
  if (!picture) return null;
  const answer = await heed(() => asking.ask(`picture?name=${encodeURIComponent(picture.name)}`, { raw: picture.bytes }), picture.name);
  return answer ? { ...picture, id: answer.id, width: answer.width, height: answer.height } : null;
}

export async function openChart() {
  const file = await files.choose("pick-chart");
  if (file) await takeFile(file);
}

/** Unsaved work waits in a slot that this page holds; she says whether she wants it now. @param {keeping.Slot} slot */
export function offerSlot(slot) {
  part("offer-words").textContent =
    `Unsaved work on ${slot.work.chart.title ?? (slot.work.file || "a band without a name")} is kept from ${new Date(slot.when).toLocaleString("en-GB", { dateStyle: "medium", timeStyle: "short" })}.`;
  part("offer").hidden = false;
  part("offer-take").onclick = () => void exchange(slot);
  part("offer-leave").onclick = () => {
    part("offer").hidden = true;
    void keeping.letGo(slot.id);
  };
}

/** Takes up the work of another slot; what lay on the mat, if it is unsaved, is offered in its turn. @param {keeping.Slot} slot */
async function exchange(slot) {
  part("offer").hidden = true;
  const before = keeping.inUse();
  if (!(await takeUp(slot))) return offerSlot(slot);
  say("Your unsaved work is back as you left it");
  const left = await keeping.slotOf(before);
  if (left?.unsaved) offerSlot(left);
  else await keeping.letGo(before);
}

/** Another page has let a slot go: what is unsaved in it is offered here. @param {string} id */
export async function offerLeft(id) {
  if (!part("offer").hidden || !(await keeping.hold(id))) return;
  const slot = await keeping.slotOf(id);
  if (slot?.unsaved) offerSlot(slot);
  else await keeping.letGo(id);
}
