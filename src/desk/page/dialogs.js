// Dialogs, popovers and folded parts: their buttons, and what the server offers in them.

import { updateComparisonLater } from "./compare.js";
import { autosave } from "./autosave.js";
import { drawTrueSizeLater, fetchFactsLater } from "./commands.js";
import { announce, create, element, get, onClick } from "./dom.js";
import { SIZE_OPTIONS, updateOtherSizesLater } from "./other-sizes.js";
import {
  chooseCover,
  exportKind,
  renderDocuments,
  renderExportList,
  saveLastReport,
} from "./export.js";
import { download } from "./files.js";
import { closeFollow, openFollow } from "./follow.js";
import * as gauge from "./gauge.js";
import { choosePalette, choosePaletteFile, choosePalettePhoto, savePhotoReport } from "./import.js";
import { knownPalettes } from "./own-palettes.js";
import { listenToPaletteViews } from "./palette-views.js";
import { showPhoto } from "./photo-picker.js";
import { listenToPreview } from "./preview.js";
import { openPalette, renderPaletteDialog } from "./palette.js";
import { recolourChart, refineChart } from "./refine.js";
import { listenToRefinement } from "./refinement.js";
import { updateRowCountsLater } from "./row-counts.js";
import { renderShortcuts } from "./shortcuts.js";
import { updateSimilarLater } from "./similar.js";
import { isOffered, state } from "./state.js";
import { calibrate, CARD, screenScale } from "./true-size.js";

/** Settings of the kit that change the figures beside the band. */
const KIT_OPTIONS = ["make", "spare", "thread", "tail", "length", "odd_turn"];
/** Parts of the page that are shown only if the server offers their function. */
const OFFERED = {
  "gauge-remember": "remember",
  similar: "alike",
  "photo-options": "photo",
  "palette-photo": "photo",
  "weave-open": "follow",
  "preview-open": "pdf",
  "viewing-distance": "seen",
  "calm-field": "calm",
  "refine-field": "refine",
  "from-stock-field": "from-stock",
};

/** Connects the dialogs' buttons. */
export function listenToDialogs() {
  listenToPalette();
  listenToGauge();
  listenToExports();
  listenToFolds();
  listenToCalibration();
  renderShortcuts();
  onClick("shortcuts-open", openShortcuts);
  onClick("shortcuts-close", () => get("shortcuts", HTMLDialogElement).close());
  onClick("refine-chart", () => void refineChart());
  listenToRefinement();
  onClick("weave-open", () => void openFollow());
  onClick("follow-close", closeFollow);
  onClick("take-save", () => {
    element("take-panel").hidePopover();
    void exportKind("page");
  });
  listenToPreview();
  for (const dialog of document.querySelectorAll("dialog")) {
    // The backdrop belongs to the dialog, which has no part of its own there.
    dialog.addEventListener("click", (event) => {
      if (event.target === dialog) dialog.close();
    });
  }
}

export function openShortcuts() {
  const dialog = get("shortcuts", HTMLDialogElement);
  if (!dialog.open) dialog.showModal();
}

function listenToPalette() {
  listenToPaletteViews();
  const dialog = get("palette", HTMLDialogElement);
  onClick("palette-button", openPalette);
  onClick("palette-close", () => dialog.close());
  dialog.addEventListener("close", () => element("viewport").focus({ preventScroll: true }));
  element("palette-search").addEventListener("input", renderPaletteDialog);
  const choice = get("palette-choice", HTMLSelectElement);
  choice.addEventListener("change", () => {
    const known = knownPalettes().find((each) => each.name === choice.value);
    if (known) void choosePalette(known.name, known.text);
  });
  onClick("palette-open", () => void choosePaletteFile());
  onClick("palette-photo", async () => {
    const photo = await choosePalettePhoto();
    if (photo) await showPhoto(photo, { isNeeded: false });
  });
  onClick("palette-save", () => {
    const { palette } = state;
    if (palette) download(new Blob([palette.text], { type: "text/csv" }), palette.file);
  });
  onClick("photo-report", savePhotoReport);
  onClick("recolour", async () => {
    await recolourChart();
    renderPaletteDialog();
  });
  const details = document.querySelector(".palette-details");
  details?.addEventListener("change", () => void autosave());
}

function listenToGauge() {
  onClick("gauge-open", () => void gauge.openGauge());
  onClick("gauge-save", () => void gauge.saveGauge());
  onClick("gauge-remember", () => void gauge.rememberGauge());
  onClick("gauge-replace", () => void gauge.replaceGauge());
  onClick("gauge-cancel", gauge.cancelReplace);
  element("options").addEventListener("input", gauge.renderGauge);
}

function listenToExports() {
  element("cover").addEventListener("change", () => void chooseCover());
  element("export-panel").addEventListener("beforetoggle", renderDocuments);
  onClick("report-save", () => {
    element("export-panel").hidePopover();
    saveLastReport();
  });
  element("export-options").addEventListener("change", ({ target }) => {
    const option = target instanceof HTMLElement ? target.dataset.option : undefined;
    if (KIT_OPTIONS.includes(option ?? "")) fetchFactsLater();
    if (option === "units") updateRowCountsLater();
    if (SIZE_OPTIONS.includes(option ?? "")) updateOtherSizesLater();
  });
  element("other-sizes").addEventListener("toggle", updateOtherSizesLater);
  element("export-panel").addEventListener("toggle", updateOtherSizesLater);
}

/** Folded parts are filled when they are unfolded. */
function listenToFolds() {
  element("compare").addEventListener("toggle", updateComparisonLater);
  element("compare").addEventListener("change", () => {
    updateComparisonLater();
    void autosave();
  });
  document.addEventListener("chartchange", updateComparisonLater);
  element("row-counts").addEventListener("toggle", updateRowCountsLater);
  element("similar").addEventListener("toggle", updateSimilarLater);
  element("below").addEventListener("input", updateSimilarLater);
}

function listenToCalibration() {
  const dialog = get("calibration", HTMLDialogElement);
  const slider = get("card-width", HTMLInputElement);
  const drawCard = () => {
    const width = Number(slider.value);
    element("card").style.width = `${width}px`;
    element("card").style.height = `${(width * CARD.height) / CARD.width}px`;
  };
  onClick("calibrate-open", () => {
    slider.value = String(screenScale().pixels * CARD.width);
    drawCard();
    dialog.showModal();
  });
  slider.addEventListener("input", drawCard);
  onClick("calibration-save", () => {
    calibrate(Number(slider.value));
    dialog.close();
    renderCalibration();
    drawTrueSizeLater();
    announce("Screen calibrated: the band beside the ring has its true size");
  });
  onClick("calibration-cancel", () => dialog.close());
}

/** Says whether the screen has been calibrated. */
export function renderCalibration() {
  const { isCalibrated } = screenScale();
  const button = element("calibrate-open");
  button.textContent = isCalibrated ? "recalibrate" : "calibrate";
  button.title = isCalibrated
    ? "The band has its true size; calibrate this screen again"
    : "Calibrate this screen once with a bank card, so that the band has its true size";
}

/** Shows what the server offers. */
export function renderOffers() {
  renderExportList();
  for (const [id, name] of Object.entries(OFFERED)) element(id).hidden = !isOffered(name);
  const { sizes, beads } = state.setup;
  element("sizes").replaceChildren(...sizes.map((size) => create("option", { value: size })));
  const names = beads.map(({ name }) => name.replace(/\/0$/, ""));
  element("bead").replaceChildren(
    ...names.map((name) => create("option", { value: name }, `${name}/0`)),
    create("option", { value: "custom" }, "other …"),
  );
}
