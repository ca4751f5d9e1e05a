// The options that a chart was made with, as its file records them.

/** @typedef {Record<string, string>} ChartRecord */

/** Options that files of version 0.1 call by another name. @type {Record<string, string>} */
const NAMES_OF_0_1 = { seat: "position", fit: "scaling", turn: "rotate", seen: "distances" };

/**
 * A record as the current version writes it. Version 0.1 gave the number of bands in `from_stock`,
 * and its distances meant that the chart was refined.
 * @param {ChartRecord} record
 * @returns {ChartRecord}
 */
export function readRecord(record) {
  const entries = Object.entries(record).map(([name, value]) => [
    NAMES_OF_0_1[name] ?? name,
    value,
  ]);
  /** @type {ChartRecord} */
  const options = Object.fromEntries(entries);
  if (record.seen !== undefined) options.refine = "true";
  if (/^\d+$/.test(options.from_stock ?? "")) {
    Object.assign(options, { make: options.from_stock, from_stock: "true" });
  }
  return options;
}
