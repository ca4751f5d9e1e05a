// A folder of the user's choice for chart files, where the browser has the File System Access API
// (WICG File System Access, Draft Community Group Report).

import { hasSavedFile, useSavedFile } from "./files.js";
import { forget, keep, readKeptOne } from "./storage.js";

const KEY = "folder";
/** Most charts of a folder that are shown, and the largest file that is read. */
const MOST = { files: 60, bytes: 4 << 20 };

/** @typedef {{name: string, when: number, text: string}} FolderChart */

/** The folder; null if none is chosen. @type {any} */
let folder = null;

/** Whether the browser can open a folder. */
export function hasFolders() {
  return "showDirectoryPicker" in window;
}

/** Takes up the folder that was chosen at an earlier visit. */
export async function recallFolder() {
  if (hasFolders()) folder = (await readKeptOne(KEY)) ?? null;
}

/** The folder's name; empty if none is chosen. */
export function folderName() {
  return folder ? folder.name || "folder" : "";
}

/** Lets the user choose a folder; false if they do not. */
export async function chooseFolder() {
  try {
    folder = await /** @type {any} */ (window).showDirectoryPicker({ mode: "readwrite" });
    await keep(KEY, folder);
    return true;
  } catch (cause) {
    if (cause instanceof DOMException && cause.name === "AbortError") return false;
    throw cause;
  }
}

/** Forgets the folder; its files stay. */
export async function leaveFolder() {
  folder = null;
  await forget(KEY);
}

/**
 * Whether the folder may be read and written now.
 * @param {{ask: boolean}} how whether the user may be asked, which takes a press on a button
 */
export async function isFolderOpen({ ask }) {
  if (!folder) return false;
  const how = { mode: "readwrite" };
  const state = (await folder.queryPermission?.(how)) ?? "granted";
  if (state === "granted" || !ask) return state === "granted";
  return (await folder.requestPermission(how)) === "granted";
}

/**
 * The charts in the folder, the last one first.
 * @returns {Promise<FolderChart[]>}
 */
export async function readFolder() {
  const files = [];
  for await (const entry of folder.values()) {
    if (entry.kind !== "file" || !/\.json$/i.test(entry.name)) continue;
    const file = await entry.getFile();
    if (file.size <= MOST.bytes) files.push(file);
  }
  files.sort((one, other) => other.lastModified - one.lastModified);
  const charts = [];
  for (const file of files.slice(0, MOST.files)) {
    const text = await file.text();
    if (isChart(text)) charts.push({ name: file.name, when: file.lastModified, text });
  }
  return charts;
}

/** @param {string} text */
function isChart(text) {
  try {
    return JSON.parse(text).format === "upbead-chart";
  } catch {
    return false;
  }
}

/**
 * Saves a chart in the folder, if there is one and the chart has no file yet.
 * @param {string} text
 * @param {string} name
 * @returns {Promise<string | null>} its name there; null if it is to be saved elsewhere
 */
export async function saveInFolder(text, name) {
  if (hasSavedFile() || !(await isFolderOpen({ ask: true }))) return null;
  const free = await freeName(name);
  const file = await folder.getFileHandle(free, { create: true });
  const stream = await file.createWritable();
  await stream.write(text);
  await stream.close();
  useSavedFile(file);
  return free;
}

/**
 * A name that no file in the folder has: `anchor.json`, `anchor-2.json`.
 * @param {string} name
 */
async function freeName(name) {
  const taken = new Set();
  for await (const each of folder.keys()) taken.add(each);
  for (let nth = 1; ; nth++) {
    const free = nth === 1 ? name : name.replace(/(\.json)?$/i, `-${nth}.json`);
    if (!taken.has(free)) return free;
  }
}

/**
 * Saving goes to this file of the folder from now on.
 * @param {string} name
 */
export async function continueInFolder(name) {
  useSavedFile(await folder.getFileHandle(name));
}
