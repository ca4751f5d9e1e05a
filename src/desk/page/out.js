// Charts and all that is made of them go out.

import * as asking from "./ask.js";
import { get, part, say } from "./dom.js";
import * as files from "./files.js";
import { bead, gauge, wishes } from "./picture.js";
import { chart, desk, fileName, textOf } from "./state.js";
import { layEverything } from "./lay.js";
import { fault } from "./notice.js";
import { heed, remembering } from "./program.js";
import { keep } from "./work.js";
import { measured } from "./anew.js";

export async function save() {
  if (!desk.history) return;
  // A name that is just being written is meant.
  const writing = document.activeElement;
  if (writing instanceof HTMLInputElement) {
    writing.blur();
    writing.focus();
  }
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
  const all = kind === "near-json" ? measured() : { ...gauge(), below: get("below", HTMLInputElement).value.trim() || undefined };
  if (kind === "fit-json") {
    const { size, columns } = wishes();
    Object.assign(all, { size, columns, bead: bead() });
  }
  for (const field of part("hand-on-how").querySelectorAll("input, select")) {
    if (!(field instanceof HTMLInputElement || field instanceof HTMLSelectElement)) continue;
    const { option, kinds } = field.dataset;
    if (!option || kind === "near-json" || (kinds && !kinds.split(" ").includes(kind))) continue;
    if (field instanceof HTMLInputElement && field.type === "checkbox") all[option] = field.checked || undefined;
    else if (field.value.trim()) all[option] = field.type === "number" ? Number(field.value) : field.value.trim();
  }
  // Not every design can be had in other sizes, and its pattern is wanted all the same.
  if (kind === "pdf" && !get("pattern-sizes", HTMLInputElement).checked) delete all.sizes;
  return Object.fromEntries(Object.entries(all).filter(([name]) => takes.includes(name)));
}

/** A picture for the cover that is not the one on the mat. @type {{name: string, bytes: ArrayBuffer} | null} */
let cover = null;

/** Lets her choose the cover's picture, or says that there is none. */
export async function chooseCover() {
  const select = get("cover", HTMLSelectElement);
  if (select.value !== "other") return;
  const file = await files.choose("pick-cover");
  cover = file ? { name: file.name, bytes: await file.arrayBuffer() } : cover;
  if (!cover) select.value = "";
  /** @type {HTMLOptionElement} */ (select.options[2]).text = cover ? cover.name : "another picture …";
}

/** The id of the cover's picture, which the program has then. */
async function coverPicture() {
  const { value } = get("cover", HTMLSelectElement);
  if (value === "mat") return desk.picture?.id;
  if (value !== "other" || !cover) return undefined;
  return (await asking.ask(`picture?name=${encodeURIComponent(cover.name)}`, { raw: cover.bytes })).id;
}

/** @param {string} kind @param {string} ending @param {string[]} takes the options that this kind takes */
export async function handOn(kind, ending, takes) {
  const wrong = [...part("hand-on-how").querySelectorAll("input")].find((field) => !field.validity.valid && takes.includes(field.dataset.option ?? ""));
  if (wrong) {
    wrong.closest("details")?.setAttribute("open", "");
    wrong.focus();
    fault({ what: `“${wrong.closest("label")?.querySelector("span")?.textContent}” is not a number that will do`, hint: wrong.validationMessage.replace(/\.$/, "") });
    return;
  }
  say("It is being made …");
  // A pattern is wanted even if the drawer lacks a colour of it; the kit is then told without what is owned.
  const palette = desk.palette && !desk.facts?.lacking ? { id: desk.palette.id } : undefined;
  const name = fileName().replace(/\.json$/i, `.${ending}`);
  const answer = await heed(() =>
    remembering(async () =>
      asking.raw(`export?kind=${kind}`, {
        body: {
          chart: textOf(),
          name: fileName(),
          options: options(kind, takes),
          palette,
          picture: kind === "pdf" ? await coverPicture() : kind === "near-json" ? desk.picture?.id : undefined,
        },
      }),
    ),
  );
  if (!answer) return say(`${name} is not made`);
  const disposition = answer.headers.get("Content-Disposition") ?? "";
  const whole = /filename\*=UTF-8''([^;]+)/i.exec(disposition)?.[1];
  const stated = whole ? decodeURIComponent(whole) : /filename="([^"]+)"/i.exec(disposition)?.[1];
  files.download(await answer.blob(), stated ?? name);
  say(`${stated ?? name} is made${palette || !desk.palette ? "" : ", without the drawer, which lacks colours of it"}`);
}

/** Shows which documents there are of what is on the mat. */
export function layDocuments() {
  part("told-save").hidden = desk.told === null || desk.told.chart !== chart();
  const near = part("other-kinds").querySelector("[data-kind=near-json]");
  if (near instanceof HTMLElement) near.hidden = desk.picture === null;
  const fit = part("other-kinds").querySelector("[data-kind=fit-json]");
  if (fit instanceof HTMLElement) fit.hidden = wishes().size === undefined;
}

/** Saves what the program said of the chart that it made last. */
export function saveTold() {
  if (!desk.told) return;
  const name = fileName().replace(/\.json$/i, "-made.json");
  files.download(new Blob([desk.told.text], { type: "application/json" }), name);
  say(`${name} is made`);
}
