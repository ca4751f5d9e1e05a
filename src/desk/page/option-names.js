// Options of chart files that had another name before.

/** @type {Record<string, string>} */
const OLD_NAMES = { seat: "position", fit: "scaling", turn: "rotate", seen: "distances" };

/**
 * The options of a chart file under today's names.
 * @param {Record<string, string>} options
 * @returns {Record<string, string>}
 */
export function fromChartFile(options) {
  const entries = Object.entries(options);
  return Object.fromEntries(entries.map(([name, value]) => [OLD_NAMES[name] ?? name, value]));
}
