// What the other sizes will be: the rows of each, and the sizes that are left out with the reason.

import { create, debounce, element, get } from "./dom.js";
import { counted } from "./format.js";
import { RequestError } from "./api.js";
import { settings } from "./export.js";
import { sizeTable } from "./ring-sizes.js";
import { state } from "./state.js";
import { renderMessages } from "./summary.js";

/** @typedef {import("./ring-sizes.js").SizeTable} SizeTable */

/** The options of other sizes. */
export const SIZE_OPTIONS = ["sizes", "step", "nearest"];

export const updateOtherSizesLater = debounce(() => void updateOtherSizes(), 150);

/** Fetches the sizes while they are unfolded. */
async function updateOtherSizes() {
  if (!state.history || !get("other-sizes", HTMLDetailsElement).open) return;
  if (!element("export-panel").matches(":popover-open")) return;
  const all = settings("sizes");
  const chosen = SIZE_OPTIONS.map((option) => [option, all[option]]);
  const table = await readableTable(Object.fromEntries(chosen));
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
 * @param {Record<string, unknown>} options
 * @returns {Promise<SizeTable | undefined>}
 */
async function readableTable(options) {
  try {
    return await sizeTable(options, "sizes");
  } catch (cause) {
    if (!(cause instanceof RequestError) || cause.kind !== "fault") return undefined;
    return { sizes: [], left_out: [], warnings: [cause.fault.what] };
  }
}
