// The user's designs, which the browser keeps by themselves: each with its history and its picture.

import { workNow } from "./autosave.js";
import { applyEdit } from "./edits.js";
import { baseName } from "./files.js";
import { upgradeWork } from "./migration.js";
import { newDesignId, state } from "./state.js";
import * as storage from "./storage.js";

/** @typedef {{id: string, when: number, pictureName: string, work: any}} Design */

const PREFIX = "design ";
/** A design is kept when nothing has changed for so many milliseconds. */
const DELAY = 900;

/** The picture that was kept last, and with which design. */
const kept = { design: "", picture: "" };
/** The design that this page holds. */
let held = "";
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;

/** Keeps the open design whenever it has changed. */
export function keepDesigns() {
  document.addEventListener("workchange", () => {
    clearTimeout(timer);
    timer = setTimeout(() => void keepDesign(), DELAY);
  });
}

/** Keeps the open design as it is now, if anything has been done to it. */
export async function keepDesign() {
  clearTimeout(timer);
  const { history, picture, design: id } = state;
  if (!state.isReady || !history || !(history.done.length || history.undone.length)) return;
  const work = workNow();
  await holdDesign(id);
  const before = await storage.readKeptOne(PREFIX + id);
  if (before && sameText(before.work, work)) return;
  const pictureName = picture?.name ?? "";
  await storage.keep(PREFIX + id, { id, when: Date.now(), pictureName, work });
  if (kept.design === id && kept.picture === (picture?.id ?? "")) return;
  Object.assign(kept, { design: id, picture: picture?.id ?? "" });
  const bytes = picture && { name: picture.name, bytes: picture.bytes };
  await storage.storePicture(bytes, PREFIX + id);
}

/**
 * Holds the open design, so that another tab goes on with a copy; releases the one before.
 * @param {string} id
 */
async function holdDesign(id) {
  if (held !== id && held) await storage.releaseSlot(PREFIX + held);
  held = id;
  await storage.holdSlot(PREFIX + id);
}

/**
 * Whether two works show the same: then the design was only looked at.
 * @param {any} one
 * @param {any} other
 */
function sameText(one, other) {
  const shown = (/** @type {any} */ { done, undone, chart, options, ...rest }) =>
    JSON.stringify([chart, options, done.length, undone.length, done.at(-1)?.label, rest]);
  return shown(one) === shown(other);
}

/**
 * The designs, the last one first.
 * @returns {Promise<Design[]>}
 */
export async function readDesigns() {
  const all = /** @type {Design[]} */ (await storage.readKept(PREFIX));
  return all.sort((one, other) => other.when - one.when);
}

/**
 * A design with its history.
 * @param {string} id
 * @returns {Promise<{id: string, work: any} | null>}
 */
export async function readDesign(id) {
  const design = await storage.readKeptOne(PREFIX + id);
  if (!design) return null;
  // Another tab may have it open: then this one goes on with a copy.
  const isFree = id === state.design || (await storage.holdSlot(PREFIX + id));
  const work = { ...upgradeWork(design.work), design: isFree ? id : newDesignId() };
  return { id: PREFIX + id, work };
}

/**
 * What a design is called.
 * @param {Design} design
 */
export function designName({ work, pictureName }) {
  return work.chart.title ?? (baseName(work.file || pictureName) || "untitled band");
}

/**
 * Gives a design that is not open another name, as an edit that can be undone.
 * @param {Design} design
 * @param {string} title
 */
export async function renameDesign({ id, ...design }, title) {
  const work = withTitle(design.work, title);
  await storage.keep(PREFIX + id, { ...design, id, work });
}

/**
 * @param {any} work
 * @param {string} title
 */
function withTitle(work, title) {
  const { title: before, notes } = work.chart;
  const rest = notes === undefined ? {} : { notes };
  const edit = /** @type {import("./edits.js").TextEdit} */ ({
    kind: "text",
    from: before === undefined ? rest : { title: before, ...rest },
    to: { title, ...rest },
  });
  const entry = { edit, label: `design named ${title}` };
  return { ...work, chart: applyEdit(work.chart, edit), done: [...work.done, entry], undone: [] };
}

/**
 * Copies a design under a name of its own.
 * @param {Design} design
 */
export async function copyDesign(design) {
  const id = newDesignId();
  const work = { ...withTitle(design.work, `${designName(design)}, copy`), design: id, file: "" };
  await storage.keep(PREFIX + id, { ...design, id, when: Date.now(), work });
  const picture = await storage.readPicture(PREFIX + design.id);
  if (picture) await storage.storePicture(picture, PREFIX + id);
}

/**
 * Deletes a design.
 * @param {Design} design
 * @returns {Promise<() => Promise<void>>} brings it back
 */
export async function deleteDesign(design) {
  const key = PREFIX + design.id;
  const picture = await storage.readPicture(key);
  await storage.forget(key);
  await storage.storePicture(null, key);
  return async () => {
    await storage.keep(key, design);
    if (picture) await storage.storePicture(picture, key);
  };
}
