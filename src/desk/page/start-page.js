// The start page: the user's designs, the last ones first, a folder of charts, starter bands and
// motifs.

import { request } from "./api.js";
import { readChart } from "./chart.js";
import { renameDesign as renameOpen } from "./commands.js";
import {
  copyDesign,
  deleteDesign,
  designName,
  keepDesign,
  keepDesigns,
  readDesign,
  readDesigns,
  renameDesign,
} from "./design-store.js";
import { designTile, folderTile, motifTile, starterTile } from "./design-tiles.js";
import { announce, element, onClick } from "./dom.js";
import * as folder from "./folder.js";
import {
  chooseChart,
  choosePicture,
  openChartText,
  openFile,
  openPlainBand,
  openStoredWork,
} from "./import.js";
import { withErrors } from "./requests.js";
import { state } from "./state.js";

/** @typedef {import("./design-store.js").Design} Design */

/** The bands that come with the program, by the names of their files. */
const BANDS = ["tide-line", "kittiwake", "lighthouse", "harbour-dusk", "gull-tracks", "anchor"];
/** The motifs that come with the program, each with its name. @type {Record<string, string>} */
const MOTIFS = {
  kittiwake: "Kittiwake",
  anchor: "Anchor",
  lighthouse: "Lighthouse",
  "fish-hook": "Fish hook",
  "gull-tracks": "Gull tracks",
  "tide-line": "Tide line",
};

/** Brings back what was deleted last. @type {(() => Promise<void>) | null} */
let bringBack = null;

/** Connects the start page. */
export function listenToStartPage() {
  keepDesigns();
  onClick("start-open", () => void openStart());
  onClick("start-from-starter", () => void openStart());
  onClick("start-close", closeStart);
  onClick("recovery-open", () => {
    if (!element("start").hidden) closeStart();
  });
  onClick("start-plain", () => void begin(openPlainBand));
  onClick("start-picture", () => void begin(choosePicture));
  onClick("start-chart", () => void begin(chooseChart));
  onClick("start-undo-button", async () => {
    await bringBack?.();
    forgetDeleted();
    await renderDesigns();
  });
  onClick("folder-choose", async () => {
    if (await folder.chooseFolder()) await renderFolder();
  });
  onClick("folder-ask", async () => {
    await folder.isFolderOpen({ ask: true });
    await renderFolder();
  });
  onClick("folder-leave", async () => {
    await folder.leaveFolder();
    await renderFolder();
  });
  element("start").addEventListener("keydown", ({ key, target }) => {
    if (key === "Escape" && !(target instanceof HTMLInputElement)) closeStart();
  });
}

/** Shows the start page where the user has designs and none of them is to go on with. */
export async function offerStart() {
  await folder.recallFolder();
  const isBlank = !state.history?.done.length && !state.file && !state.picture;
  if (isBlank && (await readDesigns()).length) await openStart();
}

/** Shows the start page. */
async function openStart() {
  await keepDesign();
  setOpen(true);
  element("start-close").focus();
  renderMotifs();
  await Promise.all([renderDesigns(), renderFolder(), renderBands()]);
}

function closeStart() {
  setOpen(false);
  forgetDeleted();
  element("start-open").focus();
}

/** @param {boolean} isOpen */
function setOpen(isOpen) {
  element("start").hidden = !isOpen;
  // Notices lie above the page and can be answered.
  for (const each of document.querySelectorAll("header.toolbar, main > section")) {
    each.toggleAttribute("inert", isOpen);
  }
}

/**
 * Opens something and goes to the band; where nothing was opened, the page stays.
 * @param {() => Promise<unknown>} open
 */
async function begin(open) {
  const before = state.history?.chart;
  await open();
  if (state.history?.chart !== before) closeStart();
}

async function renderDesigns() {
  const designs = await readDesigns();
  element("own-none").hidden = designs.length > 0;
  const tiles = designs.map((design) =>
    designTile(design, {
      name: designName(design),
      isOpen: design.id === state.design,
      open: () => void openDesign(design),
      rename: (title) => void rename(design, title),
      copy: () => void copyDesign(design).then(renderDesigns),
      remove: () => void remove(design),
    }),
  );
  element("own-designs").replaceChildren(...tiles);
}

/** @param {Design} design */
async function openDesign({ id }) {
  if (id === state.design) return closeStart();
  await keepDesign();
  const stored = await readDesign(id);
  if (!stored) return renderDesigns();
  if (await openStoredWork(stored, { isSlot: false })) closeStart();
}

/**
 * @param {Design} design
 * @param {string} title
 */
async function rename(design, title) {
  if (title && title !== designName(design)) {
    if (design.id === state.design) {
      renameOpen(title);
      await keepDesign();
    } else {
      await renameDesign(design, title);
    }
  }
  await renderDesigns();
}

/** @param {Design} design */
async function remove(design) {
  bringBack = await deleteDesign(design);
  const name = designName(design);
  element("start-undo-text").textContent = `${name} is deleted.`;
  element("start-undo").hidden = false;
  await renderDesigns();
  element("start-undo-button").focus();
}

function forgetDeleted() {
  bringBack = null;
  element("start-undo").hidden = true;
}

async function renderFolder() {
  element("folder-part").hidden = !folder.hasFolders();
  if (!folder.hasFolders()) return;
  const name = folder.folderName();
  const isOpen = await folder.isFolderOpen({ ask: false });
  element("folder-heading").textContent = name ? `In the folder ${name}` : "In a folder";
  element("folder-ask").hidden = !name || isOpen;
  element("folder-leave").hidden = !name;
  element("folder-choose").textContent = name ? "Choose another folder" : "Choose a folder";
  const charts = isOpen ? await withErrors(folder.readFolder) : [];
  const tiles = (charts ?? []).map((chart) =>
    folderTile(chart, () => void begin(() => openFromFolder(chart))),
  );
  element("folder-charts").replaceChildren(...tiles);
}

/** @param {folder.FolderChart} chart */
async function openFromFolder({ name, text }) {
  await openChartText(name, text);
  if (state.file === name) await folder.continueInFolder(name);
}

/** Shows the starter bands, which are fetched once. */
async function renderBands() {
  const list = element("starter-bands");
  if (list.children.length) return;
  const texts = await withErrors(() =>
    Promise.all(BANDS.map(async (name) => (await request(`starter-${name}.json`)).text())),
  );
  if (list.children.length) return;
  const tiles = (texts ?? []).map((text) => {
    const chart = readChart(text);
    const name = chart.title ?? "Band";
    return starterTile(chart, name, () => void begin(() => openStarter(name, text)));
  });
  list.replaceChildren(...tiles);
}

/**
 * @param {string} name
 * @param {string} text
 */
async function openStarter(name, text) {
  await openChartText(name, text, undefined, "");
}

function renderMotifs() {
  const list = element("starter-motifs");
  if (list.children.length) return;
  const tiles = Object.entries(MOTIFS).map(([file, name]) =>
    motifTile({ name, address: `motif-${file}.svg` }, () => void begin(() => openMotif(file))),
  );
  list.replaceChildren(...tiles);
}

/**
 * Charts a motif on a new band.
 * @param {string} file
 */
async function openMotif(file) {
  const answer = await withErrors(() => request(`motif-${file}.svg`));
  if (!answer) return;
  const picture = new File([await answer.blob()], `${file}.svg`, { type: "image/svg+xml" });
  await openPlainBand();
  await openFile(picture);
  announce(`${MOTIFS[file]} is charted on a new band`);
}
