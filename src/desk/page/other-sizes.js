// What the other sizes will be: the rows of each, and the sizes that are left out with the reason.

import { create, debounce, element, get } from "./dom.js";
import { counted } from "./format.js";
import { gauge } from "./options.js";
import { request, RequestError } from "./api.js";
import { settings } from "./export.js";
import { chartText, fileName, state } from "./state.js";
import { renderMessages } from "./summary.js";

/** @import { WarningReport } from "../answers.d.ts" */
/**
 * @typedef {object} SizeTable
 * @property {{size: string, rows: number, weave: string}[]} sizes
 * @property {{reason: string}[]} left_out
 * @property {(WarningReport | string)[]} warnings
 */

/** The options of other sizes. */
export const SIZE_OPTIONS = ["sizes", "step", "nearest"];

export const updateOtherSizesLater = debounce(() => void updateOtherSizes(), 150);

/** Fetches the sizes while they are unfolded. */
async function updateOtherSizes() {
  if (!state.history || !get("other-sizes", HTMLDetailsElement).open) return;
  if (!element("export-panel").matches(":popover-open")) return;
  const all = settings("sizes");
  const chosen = SIZE_OPTIONS.map((option) => [option, all[option]]);
  const options = { ...Object.fromEntries(chosen), ...gauge() };
  const body = { chart: chartText(), name: fileName(), options };
  const query = { kind: "sizes-json" };
  const table = await sizeTable(() => request("export", { query, body, channel: "sizes" }));
  if (!table) return;
  const lines = [
    ...table.sizes.map(({ size, rows, weave }) => `${size}, ${counted(rows, "row")}: ${weave}`),
    ...table.left_out.map(({ reason }) => `Left out: ${reason}`),
  ];
  element("other-sizes-list").replaceChildren(...lines.map((line) => create("li", {}, line)));
  renderMessages("other-sizes-advice", table.warnings);
}

/**
 * The table; where the design has no other sizes the advice says why. None where a later request
 * replaced this one, or nobody answers.
 * @param {() => Promise<Response>} fetchTable
 * @returns {Promise<SizeTable | undefined>}
 */
async function sizeTable(fetchTable) {
  try {
    return await (await fetchTable()).json();
  } catch (cause) {
    if (!(cause instanceof RequestError) || cause.kind !== "fault") return undefined;
    return { sizes: [], left_out: [], warnings: [cause.fault.what] };
  }
}
