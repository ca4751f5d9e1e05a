// The weaver's gauge: opened from a file, saved to a file, and remembered on this computer.

import { request, RequestError, requestJson } from "./api.js";
import { optionsChanged } from "./charting.js";
import { announce, element, get } from "./dom.js";
import { chooseFile, download } from "./files.js";
import { sentence } from "./labels.js";
import { clearError } from "./notices.js";
import { bead, fillFields, gauge } from "./options.js";
import { withErrors } from "./requests.js";
import { updateRowCountsLater } from "./row-counts.js";
import { state } from "./state.js";

/** The default bead. */
const DEFAULT_BEAD = "11";

/**
 * The gauge file that was opened: a saved gauge is added to it.
 * @type {{name: string, text: string} | null}
 */
let openedFile = null;

/** The measurements, and the bead that they are for. */
function measurements() {
  const { swatch, fits } = gauge();
  return { bead: bead(), swatch, fits };
}

/** Shows what can be done: a gauge is saved and remembered once it has been measured. */
export function renderGauge() {
  const { swatch, fits } = measurements();
  for (const id of ["gauge-save", "gauge-remember"]) {
    get(id, HTMLButtonElement).disabled = !swatch && !fits;
  }
  element("gauge-conflict").hidden = true;
  const stored = state.setup.gauge;
  const isInUse = stored && !swatch && !fits;
  element("gauge-status").textContent = isInUse ? `Remembered for 11/0 beads: ${stored.from}.` : "";
}

export async function openGauge() {
  const file = await chooseFile("pick-gauge");
  if (!file) return;
  const text = await file.text();
  const query = { name: file.name, bead: bead() ?? DEFAULT_BEAD };
  const answer = await withErrors(() => requestJson("gauge", { query, bytes: text }), {
    about: file.name,
  });
  if (!answer) return;
  clearError();
  openedFile = { name: file.name, text };
  fillFields({ swatch: answer.swatch ?? "", fits: answer.fits ?? "" });
  renderGauge();
  announce(`${file.name}: bead-to-bead spacing ${answer.pitch_mm} mm`);
  updateRowCountsLater();
  optionsChanged();
}

export async function saveGauge() {
  const body = { ...measurements(), file: openedFile?.text };
  const answer = await withErrors(() => request("gauge-file", { body }));
  if (!answer) return;
  const name = openedFile?.name ?? "gauge.json";
  download(await answer.blob(), name);
  announce(`${name} saved`);
}

/** Remembers the gauge on this computer; asks before it replaces another one for the same bead. */
export function rememberGauge() {
  return remember({ force: false });
}

/** Remembers the gauge in place of another one for the same bead. */
export function replaceGauge() {
  return remember({ force: true });
}

/** @param {{force: boolean}} options */
async function remember({ force }) {
  element("gauge-conflict").hidden = true;
  const status = element("gauge-status");
  const answer = await withErrors(async () => {
    try {
      return await requestJson("remember", { body: { ...measurements(), force } });
    } catch (cause) {
      if (!isConflict(cause)) throw cause;
      status.textContent = `${sentence(cause.fault.what)}.`;
      element("gauge-conflict").hidden = false;
      get("gauge-replace", HTMLButtonElement).focus();
      return undefined;
    }
  });
  if (!answer) return;
  const { gauge: stored, pitch_mm } = answer;
  if ((bead() ?? DEFAULT_BEAD) === DEFAULT_BEAD) {
    state.setup.gauge = { from: stored.from ?? "", pitch_mm };
  }
  status.textContent =
    `Remembered: bead-to-bead spacing ${pitch_mm} mm. It is used from now on for charts with ` +
    "these beads.";
  get("gauge-remember", HTMLButtonElement).focus();
}

/**
 * Whether another gauge for the same bead is remembered.
 * @param {unknown} cause
 * @returns {cause is RequestError}
 */
function isConflict(cause) {
  return cause instanceof RequestError && isForceNamed(cause.fault.hint_parts);
}

/**
 * Whether a hint says to replace what is there.
 * @param {import("../answers.d.ts").Sentence | undefined} parts
 */
function isForceNamed(parts = []) {
  return parts.some(
    (part) => typeof part !== "string" && "option" in part && part.option === "force",
  );
}

/** Leaves the remembered gauge as it is. */
export function cancelReplace() {
  renderGauge();
  get("gauge-remember", HTMLButtonElement).focus();
}
