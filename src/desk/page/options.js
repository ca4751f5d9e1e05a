// The form with the options of a chart: what it says, and what is put into it.

import { readRecord } from "./chart-record.js";
import { element, get, isChecked, valueOf } from "./dom.js";

/**
 * @typedef {Record<string, string | number | boolean | string[] | undefined>} ChartOptions
 *   The options of a chart as requests have them.
 */
/** @typedef {Record<string, string | boolean>} Fields The form's fields by their ids. */

/** The fields that are stored and put back after a reload. */
const STORED_FIELDS = "#options input, #options select, #compare input, .palette-details input";
/** Folded parts of the form that show a dot when something in them is not at its default. */
const FOLDS = ["placement-more", "colours-more"];

/**
 * The options as the form says them.
 * @returns {ChartOptions}
 */
export function readOptions() {
  return { ...bandOptions(), ...placementOptions(), ...colourOptions(), ...stockOptions() };
}

/** @returns {ChartOptions} */
function bandOptions() {
  const length = valueOf("length-by");
  return {
    columns: Number(valueOf("columns")),
    size: length === "size" ? get("size", HTMLInputElement).value : undefined,
    rows: length === "size" ? undefined : Number(valueOf("rows")),
    open: length === "open" ? true : undefined,
    bead: bead(),
    ...gauge(),
  };
}

/** @returns {ChartOptions} */
function placementOptions() {
  const place = valueOf("place");
  return {
    place: place === "repeat" ? `repeat:${valueOf("repeats")}` : place || undefined,
    position: place === "motif" ? choiceOrText("position") : undefined,
    scaling: valueOf("scaling") || undefined,
    rotate: valueOf("rotate") || undefined,
    margin: Number(valueOf("margin")) || undefined,
  };
}

/** @returns {ChartOptions} */
function colourOptions() {
  const dither = valueOf("dither");
  const isRefined = isChecked("refine");
  return {
    match: valueOf("match") || undefined,
    ground: valueOf("ground") || undefined,
    colours: valueOf("colours") ? Number(valueOf("colours")) : undefined,
    dither: dither === "none" ? undefined : dither,
    strength: dither === "none" ? undefined : Number(valueOf("strength")),
    crisp: Number(valueOf("crisp")) || undefined,
    simplify: Number(valueOf("simplify")) || undefined,
    calm: calm(),
    refine: isRefined || undefined,
    distances: isRefined ? distances() : undefined,
    mirror: valueOf("mirror") || undefined,
  };
}

/** @returns {ChartOptions} */
function stockOptions() {
  if (!isChecked("from-stock")) return {};
  return {
    from_stock: true,
    make: valueOf("stock-make") || undefined,
    spare: valueOf("stock-spare") || undefined,
  };
}

/**
 * The value of a selection, or of the text field beside it where `custom` is selected.
 * @param {string} id
 */
function choiceOrText(id) {
  const choice = valueOf(id);
  return (choice === "custom" ? valueOf(`${id}-custom`) : choice) || undefined;
}

/** The viewing distances that a band is optimised for, in millimetres. */
export function distances() {
  return choiceOrText("distances");
}

/** How strongly colour changes are avoided; undefined leaves it open. */
export function calm() {
  return valueOf("calm") === "" ? undefined : Number(valueOf("calm"));
}

/** The bead by its size, or its own measures. */
export function bead() {
  return choiceOrText("bead");
}

/**
 * The weaver's gauge, as far as the form says it; the server reads the remembered gauge as well.
 * @returns {ChartOptions}
 */
export function gauge() {
  return {
    swatch: valueOf("swatch") || undefined,
    fits: valueOf("fits") || undefined,
    prefer: valueOf("prefer") || undefined,
  };
}

/**
 * Puts values into the form's fields.
 * @param {Fields} fields
 */
export function fillFields(fields) {
  for (const [id, value] of Object.entries(fields)) {
    const field = document.getElementById(id);
    if (isCheckbox(field)) field.checked = value === true;
    else if (isField(field)) field.value = String(value);
  }
  updateFields();
}

/**
 * The form's fields as they are, to be stored.
 * @returns {Fields}
 */
export function readFields() {
  /** @type {Fields} */
  const fields = {};
  for (const field of document.querySelectorAll(STORED_FIELDS)) {
    if (isCheckbox(field)) fields[field.id] = field.checked;
    else if (isField(field)) fields[field.id] = field.value;
  }
  return fields;
}

/**
 * @param {Element | null} element
 * @returns {element is HTMLInputElement | HTMLSelectElement}
 */
function isField(element) {
  return element instanceof HTMLInputElement || element instanceof HTMLSelectElement;
}

/**
 * @param {Element | null} element
 * @returns {element is HTMLInputElement}
 */
function isCheckbox(element) {
  return element instanceof HTMLInputElement && element.type === "checkbox";
}

/**
 * The options that a chart was made with, as fields of the form. A chart records what its picture
 * decided too, so that nothing is left open here.
 * @param {Record<string, string>} options as the chart file has them
 * @returns {Fields}
 */
export function fieldsOf(options) {
  const made = readRecord(options);
  const [place, repeats] = (made.place ?? "round").split(":");
  return {
    place,
    ...(repeats ? { repeats } : {}),
    ...positionFields(made.position, place),
    scaling: made.scaling ?? "",
    rotate: made.rotate ?? "",
    margin: made.margin ?? "0",
    match: made.match ?? "nearest",
    ground: made.ground ?? "",
    colours: made.colours ?? "",
    dither: made.dither ?? "none",
    strength: made.strength ?? "0.5",
    crisp: made.crisp ?? "0",
    simplify: made.simplify ?? "0",
    calm: made.calm ?? "",
    refine: made.refine === "true",
    ...distanceFields(made.distances),
    mirror: made.mirror ?? "none",
    "from-stock": made.from_stock === "true",
    ...(made.from_stock ? { "stock-make": made.make ?? "", "stock-spare": made.spare ?? "" } : {}),
  };
}

/**
 * @param {string | undefined} position
 * @param {string} place
 * @returns {Fields}
 */
function positionFields(position, place) {
  if (position === "middle") return { position };
  if (position) return { position: "custom", "position-custom": position };
  return { position: place === "motif" ? "middle" : "" };
}

/**
 * @param {string | undefined} distances
 * @returns {Fields}
 */
function distanceFields(distances) {
  if (!distances) return {};
  if (distances === "300,700,2000") return { distances: "" };
  if (["300", "700", "2000"].includes(distances)) return { distances };
  return { distances: "custom", "distances-custom": distances };
}

/** Hides the fields that have no meaning beside the others. */
export function updateFields() {
  const length = valueOf("length-by");
  const place = valueOf("place");
  const isRefined = isChecked("refine");
  const isFromStock = isChecked("from-stock");
  /** @type {Record<string, boolean>} */
  const shown = {
    "size-field": length === "size",
    "rows-field": length !== "size",
    "repeats-field": place === "repeat",
    "position-field": place === "motif",
    "position-custom-field": place === "motif" && valueOf("position") === "custom",
    "strength-field": valueOf("dither") !== "none",
    "bead-custom-field": valueOf("bead") === "custom",
    "distances-field": isRefined,
    "distances-custom-field": isRefined && valueOf("distances") === "custom",
    "stock-make-field": isFromStock,
    "stock-spare-field": isFromStock,
  };
  for (const [id, isShown] of Object.entries(shown)) element(id).hidden = !isShown;
  // A hidden field has no effect and cannot be invalid.
  for (const label of element("options").querySelectorAll("label")) {
    for (const field of label.querySelectorAll("input, select")) {
      field.toggleAttribute("disabled", Boolean(label.hidden));
    }
  }
  for (const id of FOLDS) element(id).classList.toggle("changed", hasChanges(element(id)));
}

/**
 * Whether a field in a folded part is not at its default.
 * @param {HTMLElement} fold
 */
function hasChanges(fold) {
  return [...fold.querySelectorAll("input, select")].some((field) => {
    if (field instanceof HTMLSelectElement) return field.selectedIndex > 0;
    if (!(field instanceof HTMLInputElement) || field.id === "strength") return false;
    return field.type === "checkbox" ? field.checked : field.value !== field.defaultValue;
  });
}
