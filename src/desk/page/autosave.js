// Stores the work in the browser whenever it changes.

import { WORK_VERSION } from "./migration.js";
import { showError } from "./notices.js";
import { readFields } from "./options.js";
import { renderAll, renderSaveState } from "./render.js";
import { isUnsaved, state } from "./state.js";
import { handOverSlot, storePicture, storeWork } from "./storage.js";
import { cropFrame, tools } from "./views.js";

/** @typedef {import("./edits.js").Edit} Edit @typedef {import("./history.js").Entry} Entry */

/** Most edits that are stored, and most beads in them, so that storing never takes long. */
const MAX_ENTRIES = 400;
const MAX_BEADS = 300000;
/** The weight of an edit that is not counted in beads. */
const EDIT_WEIGHT = 100;
/** Storing takes at most one part in so many of the time. */
const TIME_SHARE = 4;

/** How many changes there were, and how many of them the browser has stored. */
const changes = { made: 0, stored: 0 };
/** @type {Promise<void> | null} */
let storing = null;
/** Whether the picture is not yet in the slot in use. */
let isPictureMissing = false;

/**
 * The last edits that together are not too many to store.
 * @param {Entry[]} entries
 */
function recentEntries(entries) {
  let weight = 0;
  let from = entries.length;
  while (from > 0 && entries.length - from < MAX_ENTRIES) {
    weight += weightOf(entries[from - 1].edit);
    if (weight > MAX_BEADS) break;
    from--;
  }
  return entries.slice(from);
}

/**
 * @param {Edit} edit
 * @returns {number}
 */
function weightOf(edit) {
  if (edit.kind === "group") return edit.parts.reduce((sum, part) => sum + weightOf(part), 0);
  if (edit.kind === "chart") return edit.from.beads.length + edit.to.beads.length;
  return edit.kind === "beads" ? edit.at.length : EDIT_WEIGHT;
}

/**
 * Stores the work, and again whatever changes meanwhile; done when all is stored.
 * @returns {Promise<void>}
 */
export function autosave() {
  changes.made += 1;
  state.isStored = false;
  renderSaveState();
  document.dispatchEvent(new Event("workchange"));
  storing ??= storeChanges();
  return storing;
}

/** Whether there is work that the browser has not stored. */
function hasChanges() {
  return state.isReady && state.history !== null && changes.stored < changes.made;
}

async function storeChanges() {
  // The canvas goes first.
  await pause(0);
  while (hasChanges()) {
    const { made } = changes;
    const start = performance.now();
    const isStored = store();
    const duration = performance.now() - start;
    if (!(await isStored)) reportRefusal();
    changes.stored = made;
    if (hasChanges()) await pause(duration * (TIME_SHARE - 1));
  }
  storing = null;
  state.isStored = changes.stored === changes.made;
  renderSaveState();
}

/** @param {number} time in milliseconds */
function pause(time) {
  return new Promise((done) => setTimeout(done, time));
}

/** Stores at once what is not stored yet: the page is being closed. */
export function autosaveNow() {
  if (hasChanges()) void store();
}

/** Leaves the work to another page, since this page's server is gone. */
export async function handOverWork() {
  await autosave();
  await handOverSlot();
  isPictureMissing = true;
}

/** @returns {Promise<boolean>} */
function store() {
  const { picture } = state;
  if (isPictureMissing && picture) {
    void storePicture({ name: picture.name, bytes: picture.bytes });
  }
  isPictureMissing = false;
  return storeWork(workNow(), { unsaved: isUnsaved() });
}

/** The work as it is stored. */
export function workNow() {
  const history = /** @type {NonNullable<typeof state.history>} */ (state.history);
  const { palette } = state;
  const done = recentEntries(history.done);
  return {
    version: WORK_VERSION,
    chart: history.chart,
    done,
    undone: recentEntries(history.undone),
    originalText: history.done.length === 0 ? state.originalText : "",
    savedAfter: savedAfter(history.done, done),
    file: state.file,
    design: state.design,
    addedColours: state.addedColours,
    colour: state.colour,
    keptColours: [...state.keptColours],
    excludedColours: [...state.excludedColours],
    options: readFields(),
    crop: cropFrame.crop,
    palette: palette ? { file: palette.file, text: palette.text } : null,
    mirrors: tools.mirrors,
    notes: state.notes,
    chartedWith: state.chartedWith,
    picture: state.picture !== null,
    isSourcePicture: state.isSourcePicture,
  };
}

/**
 * After how many of the stored edits the chart was saved; -1 if that is not known.
 * @param {Entry[]} all
 * @param {Entry[]} stored
 */
function savedAfter(all, stored) {
  if (state.savedEntry === null) return stored.length === all.length ? 0 : -1;
  return stored.indexOf(/** @type {Entry} */ (state.savedEntry)) + 1 || -1;
}

/** Says once that the browser refuses to store work. */
export function reportRefusal() {
  if (state.isStorageRefused) return;
  state.isStorageRefused = true;
  const what = "this browser refuses to store unsaved work";
  showError({ what, hint: "save to a file often; everything else works" }, { isSticky: true });
  renderAll();
}
