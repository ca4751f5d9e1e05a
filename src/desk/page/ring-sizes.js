// The ring sizes of a set: those that can be read, and the others with what is wrong with each.

import { RequestError, request, requestJson } from "./api.js";
import { gauge } from "./options.js";
import { chartText, fileName } from "./state.js";

/** @import { WarningReport } from "../answers.d.ts" */
/**
 * @typedef {object} SizeTable
 * @property {{size: string, rows: number, weave: string}[]} sizes
 * @property {{size: string, reason: string}[]} left_out
 * @property {(WarningReport | string)[]} warnings
 */
/** @typedef {{readable: string, refused: {size: string, reason: string}[]}} ReadSizes */

/**
 * Reads sizes such as `us5..us9,us10.5` one by one, so that one that means nothing leaves the
 * others as they are. Where none can be read, all of them are left to the program to refuse.
 * @param {string} sizes
 * @returns {Promise<ReadSizes>}
 */
export async function readSizes(sizes) {
  const items = sizes.split(",").map((item) => item.trim());
  const wrong = await Promise.all(items.map(faultOf));
  const readable = items.filter((_, nth) => !wrong[nth]);
  if (!readable.length) return { readable: sizes, refused: [] };
  const refused = items.flatMap((size, nth) => {
    const reason = wrong[nth];
    return reason ? [{ size, reason }] : [];
  });
  return { readable: readable.join(","), refused };
}

/**
 * What is wrong with a size, or with an end of a range of sizes.
 * @param {string} item
 * @returns {Promise<string | undefined>}
 */
async function faultOf(item) {
  for (const size of item.split("..")) {
    try {
      await requestJson("fit", { body: { size } });
    } catch (cause) {
      if (!(cause instanceof RequestError)) throw cause;
      if (cause.kind === "fault") return cause.fault.what;
    }
  }
  return undefined;
}

/**
 * The table of the sizes that the options name.
 * @param {Record<string, unknown>} options
 * @param {string} [channel]
 * @returns {Promise<SizeTable>}
 */
export async function sizeTable(options, channel) {
  const { readable, refused } = await readSizes(String(options.sizes ?? ""));
  const named = { ...options, ...gauge(), sizes: readable || undefined };
  const body = { chart: chartText(), name: fileName(), options: named };
  const answer = await request("export", { query: { kind: "sizes-json" }, body, channel });
  /** @type {SizeTable} */
  const table = await answer.json();
  return { ...table, left_out: [...table.left_out, ...refused] };
}
