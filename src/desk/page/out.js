// Charts and all that is made of them go out.

import * as asking from "./ask.js";
import { get, part, say } from "./dom.js";
import * as files from "./files.js";
import { gauge } from "./picture.js";
import { desk, fileName, textOf } from "./state.js";
import { layEverything } from "./lay.js";
import { heed, remembering } from "./program.js";
import { keep } from "./work.js";

export async function save() {
  if (!desk.history) return;
  const last = desk.history.done.at(-1) ?? null;
  const name = fileName();
  const as = await files.save(textOf(), name);
  if (!as) return;
  desk.file = as;
  desk.saved = last;
  layEverything();
  say(`Saved as ${as}`);
  await keep();
}

/** What is wished of a kind, by the command line's long names: only what that kind takes and what differs from the usual. @param {string} kind @param {string[]} takes */
function options(kind, takes) {
  /** @type {Record<string, unknown>} */
  const all = { ...gauge() };
  for (const field of part("hand-on-how").querySelectorAll("input, select")) {
    if (!(field instanceof HTMLInputElement || field instanceof HTMLSelectElement)) continue;
    const { option } = field.dataset;
    if (!option) continue;
    if (field instanceof HTMLInputElement && field.type === "checkbox") all[option] = field.checked || undefined;
    else if (field.value.trim()) all[option] = field.type === "number" ? Number(field.value) : field.value.trim();
  }
  // Not every design can be had in other sizes, and its pattern is wanted all the same.
  if (kind === "pdf" && !get("pattern-sizes", HTMLInputElement).checked) delete all.sizes;
  return Object.fromEntries(Object.entries(all).filter(([name]) => takes.includes(name)));
}

/** @param {string} kind @param {string} ending @param {string[]} takes the options that this kind takes */
export async function handOn(kind, ending, takes) {
  say("It is being made …");
  const name = fileName().replace(/\.json$/i, `.${ending}`);
  const answer = await heed(() =>
    remembering(() =>
      asking.raw(`export?kind=${kind}`, {
        body: { chart: textOf(), name: fileName(), options: options(kind, takes), palette: desk.palette ? { id: desk.palette.id } : undefined },
      }),
    ),
  );
  if (!answer) return;
  const disposition = answer.headers.get("Content-Disposition") ?? "";
  const whole = /filename\*=UTF-8''([^;]+)/i.exec(disposition)?.[1];
  const stated = whole ? decodeURIComponent(whole) : /filename="([^"]+)"/i.exec(disposition)?.[1];
  files.download(await answer.blob(), stated ?? name);
  say(`${stated ?? name} is made`);
}
