// The three views of the palette: its colours to use, to edit, and the kit of the band.

import { get } from "./dom.js";
import { exportKind } from "./export.js";
import { listenToKitView, renderKit } from "./kit-view.js";
import { listenToDeletion, renderDeletion } from "./palette-deletion.js";
import { listenToEditor, renderEditor } from "./palette-editor.js";
import { renderPaletteDialog } from "./palette.js";
import { listenToPhotoPicker } from "./photo-picker.js";

/** Connects the views. */
export function listenToPaletteViews() {
  for (const choice of document.querySelectorAll("input[name=palette-view]")) {
    choice.addEventListener("change", showView);
  }
  listenToEditor();
  listenToPhotoPicker();
  listenToKitView();
  document.addEventListener("palettechange", () => {
    renderEditor();
    renderDeletion();
    renderKit();
  });
  listenToDeletion();
  get("kit-save", HTMLButtonElement).addEventListener("click", () => void exportKind("kit-text"));
}

/** Shows the view that is chosen. */
function showView() {
  const chosen = document.querySelector("input[name=palette-view]:checked");
  const view = chosen instanceof HTMLInputElement ? chosen.value : "colours";
  const dialog = get("palette", HTMLDialogElement);
  dialog.dataset.view = view;
  for (const part of dialog.querySelectorAll("[data-view]")) {
    if (part instanceof HTMLElement) part.hidden = part.dataset.view !== view;
  }
  get("palette-none", HTMLElement).hidden = true;
  get("palette-search", HTMLInputElement).hidden = view === "kit";
  renderPaletteDialog();
}
