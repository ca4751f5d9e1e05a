// The edits that led to a chart, with undo and redo without limit.

import { applyEdit, invertEdit } from "./edits.js";
import { isSameShape } from "./lattice.js";

/** @typedef {import("./chart.js").Chart} Chart @typedef {import("./edits.js").Edit} Edit */
/**
 * @typedef {{from: string, to: string}} Names before and after an edit
 */
/**
 * @typedef {object} Entry an edit
 * @property {Edit} edit
 * @property {string} label what the user reads about it
 * @property {Names} [file] the file's name before and after where it opened another file
 * @property {Names} [design] what the browser keeps the chart under, before and after
 * @property {{from: FormState, to: FormState}} [form] what the form said before and after where it
 *   changed the form
 */
/**
 * @typedef {object} FormState
 * @property {Record<string, string | boolean>} fields by their ids, those that changed
 * @property {string | undefined} picture the id of the picture that was open
 * @property {import("./crop.js").Crop | null} crop of that picture
 * @property {import("../answers.d.ts").WarningReport[]} notes what was remarked of the chart
 */

export class History {
  /** @param {Chart} chart */
  constructor(chart) {
    /** The chart as it is now. */
    this.chart = chart;
    /** @type {Entry[]} */
    this.done = [];
    /** @type {Entry[]} */
    this.undone = [];
  }

  /**
   * Applies an edit. What could have been redone is forgotten.
   * @param {Edit} edit
   * @param {string} label
   */
  add(edit, label) {
    this.chart = applyEdit(this.chart, edit);
    this.done.push({ edit, label });
    this.undone = [];
  }

  /** Undoes the last edit and returns it; null if there is none. */
  undo() {
    const last = this.done.pop();
    if (!last) return null;
    this.chart = applyEdit(this.chart, invertEdit(last.edit));
    this.undone.push(last);
    return last;
  }

  /** Applies the edit that was undone last and returns it; null if there is none. */
  redo() {
    const next = this.undone.pop();
    if (!next) return null;
    this.chart = applyEdit(this.chart, next.edit);
    this.done.push(next);
    return next;
  }

  /**
   * The beads set by hand since the chart was made from a picture or opened, each once; null if
   * beads have moved since.
   * @returns {number[] | null}
   */
  editedBeads() {
    /** @type {Set<number>} */
    const all = new Set();
    for (let at = this.done.length - 1; at >= 0; at--) {
      const { edit } = this.done[at];
      if (edit.kind === "chart") break;
      if (isRework(edit)) continue;
      const beads = beadsSet(edit);
      if (!beads) return null;
      for (const bead of beads) all.add(bead);
    }
    return [...all];
  }

  /** Whether beads were changed by hand since the chart was made from a picture or opened. */
  isEdited() {
    for (let at = this.done.length - 1; at >= 0; at--) {
      const { kind } = this.done[at].edit;
      if (kind === "chart") return false;
      if (kind !== "text" && kind !== "colours") return true;
    }
    return false;
  }

  /** Whether colours were changed with the palette since the chart was made or opened. */
  isRecoloured() {
    const from = this.done.findLastIndex(({ edit }) => edit.kind === "chart");
    return this.done.slice(from + 1).some(({ edit }) => edit.kind === "colours");
  }
}

/**
 * The beads that an edit sets; null if it moves beads or replaces the chart.
 * @param {Edit} edit
 * @returns {number[] | null}
 */
function beadsSet(edit) {
  if (edit.kind === "beads") return edit.at;
  if (edit.kind === "text" || edit.kind === "colours") return [];
  if (edit.kind !== "group") return null;
  const parts = edit.parts.map(beadsSet);
  return parts.every((part) => part !== null) ? parts.flat() : null;
}

/**
 * Whether an edit refined the chart or changed its palette: the same band, bead for bead.
 * @param {Edit} edit
 */
function isRework(edit) {
  const part = edit.kind === "group" && edit.parts.length === 1 ? edit.parts[0] : undefined;
  return part?.kind === "chart" && isSameShape(part.from, part.to);
}
