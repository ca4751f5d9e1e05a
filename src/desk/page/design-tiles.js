// The tiles of the start page: a ring and its band on a small mat, with a name and what can be done
// with it.

import { create } from "./dom.js";
import { counted, number } from "./format.js";
import { icon } from "./icons.js";
import { readChart } from "./chart.js";
import { RingView } from "./ring.js";
import { drawSmallBand } from "./true-size.js";

/** @typedef {import("./chart.js").Chart} Chart */
/** @typedef {import("./design-store.js").Design} Design */
/**
 * @typedef {object} Actions
 * @property {string} name
 * @property {boolean} isOpen whether it is the design on the mat
 * @property {() => void} open
 * @property {(title: string) => void} rename
 * @property {() => void} copy
 * @property {() => void} remove
 */

/** Room for the flat band beside the ring, in CSS pixels. */
const BAND = { width: 46, height: 118 };

/**
 * A tile that opens what it shows.
 * @param {string} name
 * @param {string} details
 * @param {Node[]} pictures
 * @param {() => void} open
 */
function tile(name, details, pictures, open) {
  const button = create(
    "button",
    { type: "button", class: "tile-open", "aria-label": `Open ${name}` },
    create("span", { class: "tile-mat", "aria-hidden": "true" }, ...pictures),
  );
  button.addEventListener("click", open);
  const words = create(
    "div",
    { class: "tile-words" },
    create("p", { class: "tile-name" }, name),
    ...(details ? [create("p", { class: "hint" }, details)] : []),
  );
  return create("li", { class: "tile" }, button, words);
}

/**
 * The ring and the band of a chart.
 * @param {Chart} chart
 */
function pictures(chart) {
  const ring = create("canvas", { class: "tile-ring" });
  const band = create("canvas", {});
  drawSmallBand(band, chart, BAND);
  new RingView(ring).show(chart);
  return [ring, band];
}

/** @param {Chart} chart */
function sizeOf({ columns, rows, colours }) {
  return `${number(columns)} × ${number(rows)}, ${counted(colours.length, "colour")}`;
}

/**
 * When something was changed: `today 14:20`, `3 Nov 2026`.
 * @param {number} when
 */
function date(when) {
  const day = new Date(when);
  const isToday = day.toDateString() === new Date().toDateString();
  if (isToday) return `today ${day.toLocaleTimeString("en-GB", { timeStyle: "short" })}`;
  return day.toLocaleDateString("en-GB", { dateStyle: "medium" });
}

/**
 * A design of the user's.
 * @param {Design} design
 * @param {Actions} actions
 */
export function designTile({ work, when }, actions) {
  const { name, isOpen } = actions;
  const { columns, rows } = work.chart;
  const details = `${isOpen ? "on the mat" : date(when)} · ${number(columns)} × ${number(rows)}`;
  const item = tile(name, details, pictures(work.chart), actions.open);
  item.classList.toggle("on-the-mat", isOpen);
  const buttons = create("div", { class: "tile-actions" });
  const rename = action("rename", `Rename ${name}`, () => startRenaming(item, actions));
  const remove = action("remove", `Delete ${name}`, actions.remove);
  if (isOpen) {
    remove.disabled = true;
    remove.title = "This design is on the mat; open another one first";
  }
  buttons.append(rename, action("copy", `Duplicate ${name}`, actions.copy), remove);
  item.append(buttons);
  return item;
}

/**
 * @param {import("./icons.js").Icon} picture
 * @param {string} label
 * @param {() => void} run
 */
function action(picture, label, run) {
  const button = create("button", { type: "button", "aria-label": label, title: label });
  button.append(icon(picture));
  button.addEventListener("click", run);
  return button;
}

/**
 * Puts a field in the place of the name.
 * @param {HTMLElement} item
 * @param {Actions} actions
 */
function startRenaming(item, { name, rename }) {
  const field = create("input", { type: "text", maxlength: 200, "aria-label": "Name" });
  field.value = name;
  let isDone = false;
  const finish = (/** @type {string} */ title) => {
    if (isDone) return;
    isDone = true;
    rename(title.trim());
  };
  field.addEventListener("keydown", (event) => {
    if (event.key === "Enter") finish(field.value);
    if (event.key === "Escape") finish("");
  });
  field.addEventListener("blur", () => finish(field.value));
  item.querySelector(".tile-name")?.replaceChildren(field);
  field.select();
}

/**
 * A chart in the folder.
 * @param {import("./folder.js").FolderChart} chart
 * @param {() => void} open
 */
export function folderTile({ name, when, text }, open) {
  const chart = chartOf(text);
  if (!chart) return tile(name, "cannot be shown", [], open);
  return tile(name, `${date(when)} · ${sizeOf(chart)}`, pictures(chart), open);
}

/** @param {string} text */
function chartOf(text) {
  try {
    return readChart(text);
  } catch {
    return null;
  }
}

/**
 * A band that comes with the program.
 * @param {Chart} chart
 * @param {string} name
 * @param {() => void} open
 */
export function starterTile(chart, name, open) {
  return tile(name, sizeOf(chart), pictures(chart), open);
}

/**
 * A motif that comes with the program.
 * @param {{name: string, address: string}} motif
 * @param {() => void} open
 */
export function motifTile({ name, address }, open) {
  return tile(name, "", [create("img", { src: address, alt: "" })], open);
}
