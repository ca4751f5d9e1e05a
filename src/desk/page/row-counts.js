// The row counts near the one that was chosen for a ring size.

import { optionsChanged } from "./charting.js";
import { announce, create, debounce, element, get, valueOf } from "./dom.js";
import { setFieldError } from "./field-errors.js";
import { counted, number } from "./format.js";
import { showError } from "./notices.js";
import { bead, fillFields, gauge } from "./options.js";
import { RequestError, requestJson } from "./api.js";
import { withErrors } from "./requests.js";
import { isOffered } from "./state.js";
import { renderMessages } from "./summary.js";

/** @import { ClosedReport, FitReport } from "../answers.d.ts" */

/** Millimetres of an inch, exactly. */
const INCH = 25.4;

/** How long typing rests before a size is read, in milliseconds. */
const SIZE_PAUSE = 500;

export const updateRowCountsLater = debounce(() => void updateRowCounts(), 150);

/** Says beside the ring size what is wrong with it, once typing pauses. */
export const checkSizeLater = debounce(() => void checkSize(), SIZE_PAUSE);

async function checkSize() {
  const field = get("size", HTMLInputElement);
  if (valueOf("length-by") !== "size" || !isOffered("fit")) return;
  if (!field.value.trim()) return setFieldError(field, "Write a ring size, such as us7 or iso54.");
  try {
    await requestJson("fit", { body: { size: valueOf("size") }, channel: "size" });
    setFieldError(field, "");
  } catch (cause) {
    if (!(cause instanceof RequestError)) throw cause;
    if (cause.kind === "fault" && cause.fault.option === "size") showError(cause.fault);
  }
}

/** Fetches the row counts while they are unfolded. */
async function updateRowCounts() {
  const size = valueOf("size");
  const isPossible = valueOf("length-by") === "size" && size !== "" && isOffered("fit");
  element("row-counts").hidden = !isPossible;
  if (!isPossible || !get("row-counts", HTMLDetailsElement).open) return;
  const body = { size, columns: Number(valueOf("columns")), bead: bead(), ...gauge() };
  const answer = await withErrors(() => requestJson("fit", { body, channel: "fit" }));
  if (!answer) return;
  element("row-counts-summary").textContent = fitSummary(answer);
  renderMessages("row-counts-advice", answer.warnings);
  const items = answer.near.map((each) =>
    create("li", {}, rowCountButton(each, { isChosen: each.rows === answer.rows })),
  );
  element("row-counts-list").replaceChildren(...items);
}

/**
 * A length, with inches beside it where the settings of exports say so.
 * @param {number} mm
 * @param {string} shown the number of millimetres as it is written
 */
function length(mm, shown = number(mm)) {
  const units = document.querySelector("#export-options [data-option=units]");
  const isInch = units instanceof HTMLSelectElement && units.value === "inch";
  const inches = mm / INCH;
  return isInch ? `${shown} mm (${inches.toFixed(inches < 1 ? 3 : 2)} in)` : `${shown} mm`;
}

/**
 * The rows for the size, the band and its gauge, in words.
 * @param {FitReport} answer
 */
function fitSummary({ size, rows, rows_range, wanted_diameter_mm, width_mm, pitch_mm, gauge }) {
  const isRange = rows_range && rows_range[0] !== rows_range[1];
  const range = isRange
    ? ` Tight weavers need ${counted(rows_range[1], "row")}, loose ones as few as ` +
      `${number(rows_range[0])}.`
    : "";
  const file = gauge.file ? "the remembered " : "";
  const from = gauge.from ? `by ${file}${gauge.from}` : "an average hand, no gauge set";
  return (
    `${size}, ${length(wanted_diameter_mm)} inside: ${counted(rows, "row")}.${range} ` +
    `The band is ${length(width_mm)} wide. ` +
    `Bead-to-bead spacing: ${length(pitch_mm)}, ${from}.`
  );
}

/**
 * @param {ClosedReport} count
 * @param {{isChosen: boolean}} state
 */
function rowCountButton({ rows, diameter_mm, circumference_mm, us, iso, uk, jp }, { isChosen }) {
  const sizes = [
    `${length(circumference_mm, circumference_mm.toFixed(1))} around`,
    uk ? `UK ${uk.replace(" 1/2", "½")}` : "",
    `ISO ${iso}`,
    jp ? `JP ${jp}` : "",
  ];
  const button = create(
    "button",
    { type: "button", "aria-pressed": String(isChosen) },
    `${rows} rows`,
    create("span", {}, length(diameter_mm, diameter_mm.toFixed(2))),
    create("span", {}, us === null ? `ISO ${iso}` : `US ${number(us)}`),
    create("span", { class: "row-count-sizes" }, sizes.filter(Boolean).join(", ")),
  );
  button.addEventListener("click", () => chooseRows(rows));
  return button;
}

/** @param {number} rows */
function chooseRows(rows) {
  fillFields({ "length-by": "rows", rows: String(rows) });
  element("row-counts").hidden = true;
  get("rows", HTMLInputElement).focus();
  announce(counted(rows, "row"));
  optionsChanged("rows");
}
