// The page opens: buttons and keys are connected, and stored work, the chart given at the start or
// a plain band is shown.

import * as api from "./api.js";
import { autosave, autosaveNow, handOverWork, reportRefusal } from "./autosave.js";
import { chartPicture, optionsChanged } from "./charting.js";
import * as chart from "./chart.js";
import { readRecord } from "./chart-record.js";
import * as commands from "./commands.js";
import { listenToDialogs, openShortcuts, renderCalibration, renderOffers } from "./dialogs.js";
import { updateDistanceView } from "./distance-view.js";
import { announce, element, get, onClick } from "./dom.js";
import * as edits from "./edits.js";
import { saveChart } from "./export.js";
import { checkField, checkFields } from "./field-errors.js";
import { acceptDrops } from "./files.js";
import { renderGauge } from "./gauge.js";
import { insertIcons } from "./icons.js";
import * as imports from "./import.js";
import * as lattice from "./lattice.js";
import { closeError } from "./notices.js";
import { updateFields } from "./options.js";
import { readOwnPalettes } from "./own-palettes.js";
import { bookSaved } from "./palette-book.js";
import { openPalette, toggleExcluded, toggleKept, toggleStock } from "./palette.js";
import { renderTaken } from "./proposals.js";
import { renderBeadPosition, renderPicture, renderTools } from "./render.js";
import { withErrors } from "./requests.js";
import { checkSizeLater, updateRowCountsLater } from "./row-counts.js";
import { keyPressed } from "./shortcuts.js";
import { chartText, currentChart, currentColour, isUnsaved, state } from "./state.js";
import { listenToStartPage, offerStart } from "./start-page.js";
import { listenToSteps } from "./steps.js";
import * as storage from "./storage.js";
import { listenToTouchMode } from "./touch-mode.js";
import { canvas, connectViews, tools } from "./views.js";

/** How often a server that has stopped is tried again, in milliseconds. */
const RETRY_INTERVAL = 3000;

/** Keys that work while the band has the focus. @type {Record<string, () => void>} */
const BAND_KEYS = {
  " ": () => tools.pressCursor(),
  Enter: () => tools.pressCursor(),
  ",": () => commands.useNextColour(-1),
  ".": () => commands.useNextColour(1),
  b: () => tools.use("bead"),
  l: () => tools.use("line"),
  p: () => tools.use("fill"),
  t: () => tools.use("pick"),
  o: () => tools.use("motif"),
  c: () => tools.copy(),
  f: () => tools.flip(),
  Escape: () => tools.deselect(),
  Delete: commands.clearMotif,
  Backspace: commands.clearMotif,
  x: () => tools.toggleMirror("columns"),
  "Shift+x": () => tools.toggleMirror("rows"),
  r: commands.addRows,
  "Shift+r": commands.removeRows,
  k: commands.addColumns,
  "Shift+k": commands.removeColumns,
  "+": () => canvas.zoomIn(),
  "=": () => canvas.zoomIn(),
  "Shift++": () => canvas.zoomIn(),
  "-": () => canvas.zoomOut(),
  0: () => canvas.fitZoom(),
  d: openPalette,
  "?": openShortcuts,
  "Shift+?": openShortcuts,
};
for (const name of /** @type {const} */ (["Left", "Right", "Up", "Down"])) {
  const direction = /** @type {lattice.Direction} */ (name.toLowerCase());
  const step = {
    left: { rows: 0, columns: -2 },
    right: { rows: 0, columns: 2 },
    up: { rows: 2, columns: 0 },
    down: { rows: -2, columns: 0 },
  }[direction];
  BAND_KEYS[`Arrow${name}`] = () => tools.moveCursor(direction, 1);
  BAND_KEYS[`Ctrl+Arrow${name}`] = () => tools.moveCursor(direction, 10);
  BAND_KEYS[`Alt+Arrow${name}`] = () => tools.move(step);
  BAND_KEYS[`Shift+Alt+Arrow${name}`] = () => commands.shiftPattern(direction);
}
for (let nth = 1; nth <= 9; nth++) BAND_KEYS[nth] = () => commands.useSwatch(nth - 1);

/** Keys that work everywhere. @type {Record<string, () => void>} */
const GLOBAL_KEYS = {
  "Ctrl+z": commands.undo,
  "Ctrl+Shift+z": commands.redo,
  "Ctrl+y": commands.redo,
  "Ctrl+s": () => void saveChart(),
  "Ctrl+o": () => void imports.chooseChart(),
};

/** What buttons do, by their ids. @type {Record<string, () => void>} */
const BUTTONS = {
  "open-chart": () => void imports.chooseChart(),
  "save-chart": () => void saveChart(),
  theme: toggleTheme,
  undo: commands.undo,
  redo: commands.redo,
  "zoom-in": () => canvas.zoomIn(),
  "zoom-out": () => canvas.zoomOut(),
  "zoom-fit": () => canvas.fitZoom(),
  "draw-mirror-columns": () => tools.toggleMirror("columns"),
  "draw-mirror-rows": () => tools.toggleMirror("rows"),
  "shift-up": () => commands.shiftPattern("up"),
  "shift-down": () => commands.shiftPattern("down"),
  "shift-left": () => commands.shiftPattern("left"),
  "shift-right": () => commands.shiftPattern("right"),
  "rows-add": commands.addRows,
  "rows-remove": commands.removeRows,
  "columns-add": commands.addColumns,
  "columns-remove": commands.removeColumns,
  "edges-add": commands.widenEdges,
  "edges-remove": commands.narrowEdges,
  "picture-choose": () => void imports.choosePicture(),
  "picture-choose-top": () => void imports.choosePicture(),
  "picture-change": () => void imports.choosePicture(),
  "picture-remove": imports.removePicture,
  "colour-in-stock": () => toggleStock(currentColour()),
  "colour-keep": () => toggleKept(currentColour()),
  "colour-exclude": () => toggleExcluded(currentColour()),
  markers: toggleMarkers,
  "error-close": closeError,
  "lost-retry": () => void retry(),
  "lost-close": () => element("lost").toggleAttribute("hidden", true),
};

function listen() {
  for (const [id, action] of Object.entries(BUTTONS)) onClick(id, action);
  listenToKeys();
  listenToTools();
  listenToOptions();
  listenToInfo();
  listenToDialogs();
  listenToServer();
  document.addEventListener("chartchange", renderTaken);
  listenToStartPage();
  listenToSteps();
  listenToTouchMode();
  rememberFolds();
  acceptDrops((file) => void imports.openFile(file));
  window.addEventListener("beforeunload", (event) => {
    if (isUnsaved() && state.isStorageRefused) event.preventDefault();
  });
  window.addEventListener("pagehide", () => {
    autosaveNow();
    navigator.sendBeacon("bye");
  });
}

function listenToKeys() {
  element("viewport").addEventListener("keydown", (event) => {
    runKey(BAND_KEYS[keyPressed(event)], event);
  });
  document.addEventListener("keydown", (event) => {
    const { target } = event;
    const isTyping = target instanceof HTMLInputElement && /text|search|number/.test(target.type);
    // Undo and redo are the field's own there.
    if (isTyping && /[zy]/i.test(event.key)) return;
    runKey(GLOBAL_KEYS[keyPressed(event)], event);
  });
}

/**
 * @param {(() => void) | undefined} action
 * @param {KeyboardEvent} event
 */
function runKey(action, event) {
  if (!action || !state.history) return;
  event.preventDefault();
  action();
}

function listenToTools() {
  for (const button of element("tools").querySelectorAll("button")) {
    const tool = /** @type {import("./tools.js").Tool} */ (button.dataset.tool);
    button.addEventListener("click", () => tools.use(tool));
  }
  /** @type {Record<string, () => void>} */
  const actions = {
    copy: () => tools.copy(),
    flip: () => tools.flip(),
    fill: () => tools.fillBox(currentColour()),
    cancel: () => tools.deselect(),
  };
  for (const button of element("motif-actions").querySelectorAll("button")) {
    button.addEventListener("click", () => actions[button.dataset.action ?? ""]?.());
  }
}

function toggleMarkers() {
  const { overlay } = canvas;
  overlay.showMarkers = !overlay.showMarkers;
  element("markers").setAttribute("aria-pressed", String(overlay.showMarkers));
  canvas.redraw();
}

function listenToOptions() {
  const form = element("options");
  const isText = (/** @type {Event} */ { target }) =>
    target instanceof HTMLInputElement && target.type === "text";
  for (const part of ["options", "compare", "export-options", "palette-details"])
    checkFields(element(part));
  const idOf = (/** @type {Event} */ { target }) =>
    target instanceof HTMLElement ? target.id : undefined;
  form.addEventListener("input", updateRowCountsLater);
  element("size").addEventListener("input", checkSizeLater);
  // Text counts when it is complete, everything else at once.
  form.addEventListener("input", (event) => {
    if (!isText(event)) optionsChanged(idOf(event));
  });
  form.addEventListener("change", (event) => {
    // Rows to keep are for refining only.
    if (event.target === element("pin")) void autosave();
    else if (isText(event)) optionsChanged(idOf(event));
  });
  // A position of the user's own starts from the one that the motif has.
  element("position").addEventListener("input", () => {
    const field = get("position-custom", HTMLInputElement);
    if (get("position", HTMLSelectElement).value !== "custom") return;
    const { position } = readRecord(currentChart().made.options);
    field.value = position ?? (field.value || "1,0,0");
  });
  // An invalid field is unfolded and says what is wrong with it.
  form.addEventListener(
    "invalid",
    ({ target }) => {
      if (!(target instanceof HTMLInputElement || target instanceof HTMLSelectElement)) return;
      target.closest("details")?.setAttribute("open", "");
      checkField(target);
      target.scrollIntoView({ block: "nearest" });
    },
    true,
  );
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (get("options", HTMLFormElement).checkValidity()) void chartPicture("button");
  });
}

function listenToInfo() {
  const replacement = get("replace-colour", HTMLSelectElement);
  replacement.addEventListener("change", () => commands.replaceCurrentColour(replacement.value));
  const title = get("title", HTMLInputElement);
  title.addEventListener("change", () => commands.renameDesign(title.value));
  element("viewing-distance").addEventListener("change", () => void updateDistanceView());
}

/** @param {import("./api.js").Lost} lost */
function showConnection(lost) {
  const isReplaced = lost === "replaced";
  element("lost").hidden = !lost;
  element("lost-stopped").hidden = isReplaced;
  element("lost-restarted").hidden = !isReplaced;
  element("lost-retry").hidden = isReplaced;
}

/** Says when the server stops, answers again, or has been replaced by another one. */
function listenToServer() {
  api.watchConnection((lost) => {
    // Another page may have the work as soon as this one says that it is replaced.
    if (lost === "replaced") void handOverWork().finally(() => showConnection(lost));
    else showConnection(lost);
    if (lost === "stopped") api.retryConnection(RETRY_INTERVAL);
    else if (!lost) {
      announce("The program answers again");
      commands.fetchFactsLater();
    }
  });
  storage.listenToPages({
    onOtherServer: () => void api.checkConnection(),
    onReleased: (id) => void imports.offerReleasedWork(id),
  });
}

async function retry() {
  await api.request("begin").catch(() => announce("The program does not answer yet"));
}

/** Parts beside the band that were unfolded at the last visit are unfolded again. */
function rememberFolds() {
  const all = element("source-panel").querySelectorAll("details");
  const folds = [...all].filter((fold) => fold.id);
  const open = storage.readSetting("folds") ?? [];
  for (const fold of folds) {
    fold.open = open.includes(fold.id);
    fold.addEventListener("toggle", () => {
      const ids = folds.filter((each) => each.open).map((each) => each.id);
      storage.writeSetting("folds", ids);
    });
  }
}

/** Switches between light and dark. */
function toggleTheme() {
  const { dataset } = document.documentElement;
  const isDark = matchMedia("(prefers-color-scheme: dark)").matches;
  const before = dataset.theme ?? (isDark ? "dark" : "light");
  dataset.theme = before === "dark" ? "light" : "dark";
  storage.writeSetting("theme", dataset.theme);
  canvas.redraw();
  // The band seen from a distance lies on the page's background.
  void updateDistanceView();
}

async function openPage() {
  insertIcons(document);
  const theme = storage.readSetting("theme");
  if (theme) document.documentElement.dataset.theme = theme;
  renderCalibration();
  listen();
  updateFields();
  renderPicture();
  const setup = await withErrors(() => api.requestJson("begin"));
  if (setup) state.setup = setup;
  renderOffers();
  updateFields();
  await readOwnPalettes();
  await openFirstWork();
  updateRowCountsLater();
  renderGauge();
  state.isReady = true;
  document.dispatchEvent(new Event("ready"));
  void autosave();
  await offerStart();
  document.documentElement.dataset.ready = "yes";
}

/** Opens stored work, the chart given at the start, or a plain band. */
async function openFirstWork() {
  const { file, palettes } = state.setup;
  const { isRefused, slot } = await storage.openSlot({ hasFile: Boolean(file) });
  if (isRefused) reportRefusal();
  const isOther = slot?.unsaved && file && slot.work.file !== file.name;
  if (slot && (slot.unsaved || !file) && !isOther) {
    await imports.openStoredWork(slot);
    if (slot.unsaved) announce("Your unsaved work is open again");
    return;
  }
  const first = palettes[0];
  if (first) await imports.openPaletteText(first.name, first.text);
  if (slot && isOther) {
    await storage.openNewSlot();
    imports.offerStoredWork(slot);
  }
  if (file) await imports.openChartText(file.name, file.text);
  if (!state.history) await chartPicture("button");
}

connectViews({
  edit: commands.run,
  useColour: commands.useColour,
  toolsChanged: renderTools,
  hover: renderBeadPosition,
  optionsChanged,
});

// For the tests.
const run = commands.run;
const inspected = { state, canvas, tools, chart, edits, lattice, chartText, run, bookSaved };
Object.assign(window, { upbeadDesk: inspected });

void openPage();
