// The options that a proposal sets otherwise, as fields of the form.

/** @typedef {import("./crop.js").Crop} Crop */
/** @typedef {import("./options.js").Fields} Fields */
/** @typedef {import("../answers.d.ts").OptionChange} Change */

/**
 * The fields of one option, from its value; the empty text leaves it open.
 * @type {Record<string, (value: string) => Fields>}
 */
const FIELDS = {
  place: placeFields,
  position: positionFields,
  scaling: (value) => ({ scaling: value }),
  rotate: (value) => ({ rotate: value === "auto" ? "" : value }),
  margin: (value) => ({ margin: value || "0" }),
  match: (value) => ({ match: value }),
  ground: (value) => ({ ground: value }),
  colours: (value) => ({ colours: value }),
  mirror: (value) => ({ mirror: value }),
  dither: (value) => ({ dither: value || "none" }),
  strength: (value) => ({ strength: value || "0.5" }),
  crisp: (value) => ({ crisp: value || "0" }),
  simplify: (value) => ({ simplify: value || "0" }),
  calm: (value) => ({ calm: value }),
  refine: (value) => ({ refine: value === "true" }),
  size: (value) => lengthFields("size", value),
  rows: (value) => lengthFields("rows", value),
};

/**
 * @param {string} value such as `motif` or `repeat:4`
 * @returns {Fields}
 */
function placeFields(value) {
  const [place, repeats] = value.split(":");
  return repeats ? { place, repeats } : { place };
}

/**
 * @param {string} value
 * @returns {Fields}
 */
function positionFields(value) {
  if (value === "" || value === "middle") return { position: value };
  if (value === "best") return { position: "" };
  return { position: "custom", "position-custom": value };
}

/**
 * The length by a ring size or by rows; what is left open gives way to the other.
 * @param {"size" | "rows"} by
 * @param {string} value
 * @returns {Fields}
 */
function lengthFields(by, value) {
  return value ? { "length-by": by, [by]: value } : {};
}

/**
 * @param {Change[]} changes
 * @returns {Fields}
 */
export function fieldsOfChanges(changes) {
  const all = changes.map(({ option, value }) => FIELDS[option]?.(value ?? "") ?? {});
  return Object.assign({}, ...all);
}

/**
 * The part of the picture that a proposal shows.
 * @param {Change[]} changes
 * @param {Crop | null} before
 * @returns {Crop | null}
 */
export function cropChange(changes, before) {
  const change = changes.find(({ option }) => option === "crop");
  if (!change) return before;
  if (!change.value) return null;
  const [x, y, width, height] = change.value.split(",").map(Number);
  return { x, y, width, height };
}
