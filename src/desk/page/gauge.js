// The weaver's gauge: opened from a file, saved as one, and remembered where every later call looks for it.

import * as asking from "./ask.js";
import { get, part, say } from "./dom.js";
import * as files from "./files.js";
import { bead, gauge, wish } from "./picture.js";
import { desk } from "./state.js";
import { forgive } from "./notice.js";
import { plainly } from "./plainly.js";
import { heed } from "./program.js";
import { wishesChanged } from "./make.js";
import { besideLater } from "./anew.js";

/** The gauge file that was opened: what is saved is added to it. @type {{name: string, text: string} | null} */
let opened = null;

/** What was measured, and for which bead. */
function measured() {
  const { swatch, fits } = gauge();
  return { bead: bead(), swatch, fits };
}

/** A gauge can be saved and remembered once it is measured. */
export function layGauge() {
  const { swatch, fits } = measured();
  for (const id of ["gauge-save", "gauge-keep"]) get(id, HTMLButtonElement).disabled = !swatch && !fits;
  part("gauge-other").hidden = true;
  const kept = desk.begin.gauge;
  part("gauge-about").textContent = kept && !swatch && !fits ? `Remembered for 11/0 beads: ${kept.from}.` : "";
}

export async function openGauge() {
  const file = await files.choose("pick-gauge");
  if (!file) return;
  const text = await file.text();
  const asked = new URLSearchParams({ name: file.name, bead: bead() ?? "11" });
  const answer = await heed(() => asking.ask(`gauge?${asked}`, { raw: text }), file.name);
  if (!answer) return;
  forgive();
  opened = { name: file.name, text };
  wish({ swatch: answer.swatch ?? "", fits: answer.fits ?? "" });
  layGauge();
  say(`${file.name}: ${answer.pitch_mm} mm from bead to bead`);
  besideLater();
  wishesChanged();
}

export async function saveGauge() {
  const answer = await heed(() => asking.raw("gauge-file", { body: { ...measured(), file: opened?.text } }));
  if (!answer) return;
  const name = opened?.name ?? "gauge.json";
  files.download(await answer.blob(), name);
  say(`${name} is made`);
}

/** Keeps the gauge on this machine; another one for the same bead only when she says so. @param {boolean} [force] */
export async function keepGauge(force = false) {
  part("gauge-other").hidden = true;
  const answer = await heed(async () => {
    try {
      return await asking.ask("remember", { body: { ...measured(), force } });
    } catch (cause) {
      if (!(cause instanceof asking.NoAnswer) || !cause.fault.hint?.includes("--force")) throw cause;
      part("gauge-about").textContent = `${plainly(cause.fault.what.charAt(0).toUpperCase() + cause.fault.what.slice(1))}.`;
      part("gauge-other").hidden = false;
      get("gauge-replace", HTMLButtonElement).focus();
      return undefined;
    }
  });
  if (!answer) return;
  if (!bead() || bead() === "11") desk.begin.gauge = { from: answer.gauge.from, pitch_mm: answer.pitch_mm, notes: [] };
  part("gauge-about").textContent = `Remembered, ${answer.pitch_mm} mm from bead to bead, for every later call with these beads.`;
  get("gauge-keep", HTMLButtonElement).focus();
}

export function leaveGauge() {
  layGauge();
  get("gauge-keep", HTMLButtonElement).focus();
}
