// The pages of the printed pattern, before they are printed or saved.

import { announce, element, get, onClick } from "./dom.js";
import { printedPattern } from "./export.js";
import { download } from "./files.js";

/** The pattern that is shown, and its address. */
const shown = { blob: new Blob(), name: "", address: "" };

/** Connects the preview. */
export function listenToPreview() {
  const dialog = get("preview", HTMLDialogElement);
  onClick("preview-open", () => {
    element("export-panel").hidePopover();
    void openPreview();
  });
  onClick("preview-close", () => dialog.close());
  onClick("preview-save", () => {
    download(shown.blob, shown.name);
    announce(`${shown.name} saved`);
  });
  dialog.addEventListener("close", () => {
    get("preview-frame", HTMLIFrameElement).removeAttribute("src");
    URL.revokeObjectURL(shown.address);
    element("export").focus();
  });
}

async function openPreview() {
  const made = await printedPattern();
  if (!made) return;
  const frame = get("preview-frame", HTMLIFrameElement);
  const blob = new Blob([made.blob], { type: "application/pdf" });
  Object.assign(shown, { blob, name: made.name, address: URL.createObjectURL(blob) });
  const canShow = navigator.pdfViewerEnabled;
  element("preview-none").hidden = canShow;
  frame.hidden = !canShow;
  // The whole page in sight, without the viewer's own bars.
  if (canShow) frame.src = `${shown.address}#view=Fit&navpanes=0`;
  get("preview", HTMLDialogElement).showModal();
  announce(`${made.name} is made`);
}
