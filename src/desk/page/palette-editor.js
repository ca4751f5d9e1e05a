// The view of the palette in which colours are added, edited, removed and put in order, in place.

import { drawPile } from "./bead-drawing.js";
import { useColour } from "./commands.js";
import { announce, create, element, get, onClick } from "./dom.js";
import { baseName } from "./files.js";
import { counted } from "./format.js";
import { icon } from "./icons.js";
import { nameFault } from "./own-palettes.js";
import * as book from "./palette-book.js";
import { CURRENCY, FINISHES, nextCode, tidied } from "./palette-file.js";
import { currentChart, state } from "./state.js";
import { canvas } from "./views.js";

/** @typedef {import("./palette-file.js").Row} Row */
/** @typedef {import("./palette-file.js").Field} Field */

/** Most rows that are shown at once; the search finds the others. */
const MOST_SHOWN = 120;
/** The pile in a row's well. */
const PILE = { size: 40, count: 40 };

/** What the fields are called, in the order of the row. @type {[Field, string][]} */
const FIELDS = [
  ["name", "Name"],
  ["code", "Code"],
  ["hex", "Colour"],
  ["finish", "Finish"],
  ["grams", "In stock, g"],
  ["price", "Price per g"],
  ["per_pack", "Pack, g"],
];
const NUMBERS = ["grams", "price", "per_pack"];

/** The row that a colour from the photo goes to. */
let current = "";
/** What was refused last, and where. @type {{key: string, refusal: book.Refusal} | null} */
let refused = null;
/** The elements of the rows that are shown, by the rows' keys. @type {Map<string, HTMLElement>} */
let shown = new Map();

/** Connects the view's buttons. */
export function listenToEditor() {
  onClick("colour-add", () => addColour({}));
  onClick("palette-undo", () => show(book.undoBook()));
  onClick("palette-redo", () => show(book.redoBook()));
  get("palette-name", HTMLInputElement).addEventListener("change", renamed);
  get("palette-currency", HTMLInputElement).addEventListener("change", currencyChanged);
  element("palette").addEventListener("keydown", (event) => {
    const isTyping = event.target instanceof HTMLInputElement;
    if (isTyping || element("palette-edit").hidden || !(event.ctrlKey || event.metaKey)) return;
    if (!/^[zy]$/i.test(event.key)) return;
    event.preventDefault();
    event.stopPropagation();
    show(event.shiftKey || /y/i.test(event.key) ? book.redoBook() : book.undoBook());
  });
}

/**
 * Shows the rows after a step, or why it was refused.
 * @param {book.Refusal | null} refusal
 */
function show(refusal) {
  if (refusal) announceRefusal("", refusal);
  else refused = null;
  renderEditor();
}

/**
 * @param {string} key
 * @param {book.Refusal} refusal
 */
function announceRefusal(key, refusal) {
  refused = { key, refusal };
  announce(refusal.text);
}

/** Shows the palette's rows, while the view is open. */
export function renderEditor() {
  if (!state.palette || element("palette-edit").hidden) return;
  const { rows, currency, file } = book.draft();
  const search = get("palette-search", HTMLInputElement).value.trim().toLowerCase();
  const found = rows.filter((row) =>
    `${row.name} ${row.code} ${row.finish}`.toLowerCase().includes(search),
  );
  const visible = found.slice(0, MOST_SHOWN);
  const elements = visible.map((row) => shown.get(row.key) ?? rowElement(row));
  shown = new Map(visible.map((row, nth) => [row.key, elements[nth]]));
  const list = element("palette-rows");
  const isSame =
    list.children.length === elements.length &&
    elements.every((each, nth) => list.children[nth] === each);
  if (!isSame) place(list, elements);
  visible.forEach((row, nth) => updateRow(elements[nth], row));
  const rest = found.length - visible.length;
  element("palette-rest").textContent = rest
    ? `and ${counted(rest, "more colour")}; the search finds them`
    : "";
  setField("palette-name", baseName(file));
  setField("palette-currency", currency);
  renderSteps();
}

/**
 * Puts the rows in order; the focus stays where it is.
 * @param {HTMLElement} list
 * @param {HTMLElement[]} elements
 */
function place(list, elements) {
  const { activeElement } = document;
  list.replaceChildren(...elements);
  if (activeElement instanceof HTMLElement && list.contains(activeElement)) activeElement.focus();
}

/**
 * @param {string} id
 * @param {string} value
 */
function setField(id, value) {
  const field = get(id, HTMLInputElement);
  if (document.activeElement !== field) field.value = value;
}

function renderSteps() {
  const { undo, redo } = book.bookSteps();
  for (const [id, label, word] of [
    ["palette-undo", undo, "Undo"],
    ["palette-redo", redo, "Redo"],
  ]) {
    const button = get(String(id), HTMLButtonElement);
    button.disabled = label === undefined;
    button.title = label === undefined ? String(word) : `${word}: ${label}`;
  }
  const faults = [...book.bookFaults().values()].filter((each) => Object.keys(each).length);
  const note = element("palette-faults");
  note.hidden = faults.length === 0 && refused?.key !== "";
  note.textContent =
    refused?.key === ""
      ? refused.refusal.text
      : `${counted(faults.length, "colour")} to mend: until then the palette keeps what was there.`;
}

/**
 * A row with its fields, which are filled by [`updateRow`].
 * @param {Row} row
 */
function rowElement({ key }) {
  const well = create("input", { type: "color", "data-field": "well" });
  const item = create(
    "li",
    { class: "palette-row", "data-key": key },
    handle(key),
    create(
      "label",
      { class: "well", title: "Choose the colour" },
      create("canvas", { "aria-hidden": "true" }),
      well,
    ),
    ...FIELDS.map(([field, label]) => fieldElement(key, field, label)),
    removeButton(key),
    create("p", { class: "row-refusal", hidden: true }),
  );
  well.addEventListener("input", () => preview(item, well.value.slice(1).toUpperCase()));
  well.addEventListener("change", () => change(key, "hex", well.value));
  item.addEventListener("focusin", () => select(key));
  return item;
}

/**
 * @param {string} key
 * @param {Field} field
 * @param {string} label
 */
function fieldElement(key, field, label) {
  const fault = `fault-${field}-${key.replace(" ", "-")}`;
  const input = field === "finish" ? finishSelect() : textInput(field);
  input.setAttribute("data-field", field);
  input.setAttribute("aria-describedby", fault);
  input.addEventListener("input", () => (input.dataset.typing = "yes"));
  input.addEventListener("change", () => {
    delete input.dataset.typing;
    change(key, field, input.value);
  });
  return create(
    "div",
    { class: `cell cell-${field}` },
    create("label", {}, create("span", {}, label), input),
    create("p", { class: "fault", id: fault }),
  );
}

function finishSelect() {
  const names = FINISHES.map((finish) => create("option", { value: finish }, finish));
  return create("select", {}, create("option", { value: "" }, "not stated"), ...names);
}

/** @param {Field} field */
function textInput(field) {
  const isNumber = NUMBERS.includes(field);
  const placeholder = field === "grams" ? "enough" : isNumber ? "–" : undefined;
  return create("input", {
    type: "text",
    autocomplete: "off",
    spellcheck: "false",
    maxlength: 200,
    inputmode: isNumber ? "decimal" : undefined,
    placeholder,
  });
}

/** @param {string} key */
function removeButton(key) {
  const button = create("button", { type: "button", class: "row-remove" }, icon("close"));
  button.addEventListener("click", () => {
    const { rows } = book.draft();
    const at = rows.findIndex((row) => row.key === key);
    const refusal = book.removeRow(key);
    refused = null;
    if (refusal) announceRefusal(key, refusal);
    else announce("Colour removed");
    renderEditor();
    const next = book.draft().rows[Math.min(at, rows.length - 2)];
    if (!refusal)
      shown
        .get(next?.key ?? "")
        ?.querySelector("button")
        ?.focus();
  });
  return button;
}

/**
 * The handle by which a row is dragged, or moved with the arrow keys.
 * @param {string} key
 */
function handle(key) {
  const button = create("button", { type: "button", class: "row-handle" }, icon("grip"));
  const moveTo = (/** @type {number} */ to) => {
    book.moveRow(key, to);
    renderEditor();
    button.focus();
  };
  const at = () => book.draft().rows.findIndex((row) => row.key === key);
  button.addEventListener("keydown", (event) => {
    const by = { ArrowUp: -1, ArrowDown: 1 }[event.key];
    if (!by) return;
    event.preventDefault();
    moveTo(at() + by);
    shown.get(key)?.scrollIntoView({ block: "nearest" });
  });
  button.addEventListener("pointerdown", (event) => startDrag(event, button, { at, moveTo }));
  return button;
}

/**
 * Drags a row: it takes the place of the row under the pointer when it is let go.
 * @param {PointerEvent} event
 * @param {HTMLElement} button
 * @param {{at: () => number, moveTo: (to: number) => void}} row
 */
function startDrag(event, button, { at, moveTo }) {
  if (event.button !== 0) return;
  const item = button.closest("li");
  const start = event.clientY;
  let target = "";
  const drag = (/** @type {PointerEvent} */ { clientX, clientY }) => {
    item?.style.setProperty("translate", `0 ${clientY - start}px`);
    item?.classList.add("dragged");
    const under = document
      .elementsFromPoint(clientX, clientY)
      .map((each) => each.closest("li.palette-row"))
      .find((each) => each && each !== item);
    for (const each of shown.values()) each.classList.toggle("drop-here", each === under);
    target = (under instanceof HTMLElement && under.dataset.key) || "";
  };
  const end = (/** @type {PointerEvent} */ { type }) => {
    button.removeEventListener("pointermove", drag);
    item?.style.removeProperty("translate");
    item?.classList.remove("dragged");
    for (const each of shown.values()) each.classList.remove("drop-here");
    const to = book.draft().rows.findIndex((row) => row.key === target);
    if (type === "pointerup" && to >= 0 && to !== at()) moveTo(to);
  };
  button.setPointerCapture(event.pointerId);
  button.addEventListener("pointermove", drag);
  button.addEventListener("pointerup", end, { once: true });
  button.addEventListener("pointercancel", end, { once: true });
}

/**
 * Shows a row as it is now; a field that is being typed in stays.
 * @param {HTMLElement} item
 * @param {Row} row
 */
function updateRow(item, row) {
  const faults = book.bookFaults().get(row.key) ?? {};
  for (const [field] of FIELDS) {
    const input = item.querySelector(`[data-field="${field}"]`);
    if (!(input instanceof HTMLInputElement || input instanceof HTMLSelectElement)) continue;
    if (!input.dataset.typing) input.value = row[field];
    // A new colour's name is not missed while it is about to be typed.
    const isAwaited = input === document.activeElement && !input.value;
    const fault = isAwaited ? "" : (faults[field] ?? "");
    markInvalid(input, fault !== "");
    const text = item.querySelector(`.cell-${field} .fault`);
    if (text) text.textContent = fault ? `${fault}.` : "";
  }
  const name = row.name || "the new colour";
  item.querySelector(".row-remove")?.setAttribute("aria-label", `Remove ${name}`);
  item.querySelector(".row-remove")?.setAttribute("title", `Remove ${name}`);
  const move = item.querySelector(".row-handle");
  move?.setAttribute("aria-label", `Move ${name}`);
  move?.setAttribute("title", "Drag to move, or press the up and down arrow keys");
  item.querySelector("[data-field=well]")?.setAttribute("aria-label", `Colour of ${name}`);
  item.classList.toggle("current", row.key === current);
  preview(item, row.hex, row.finish);
  renderRefusal(item, row.key);
}

/**
 * @param {HTMLElement} field
 * @param {boolean} isInvalid
 */
function markInvalid(field, isInvalid) {
  if (isInvalid) field.setAttribute("aria-invalid", "true");
  else field.removeAttribute("aria-invalid");
}

/**
 * Why a row cannot be removed, with a button that shows its beads on the band.
 * @param {HTMLElement} item
 * @param {string} key
 */
function renderRefusal(item, key) {
  const text = item.querySelector(".row-refusal");
  if (!(text instanceof HTMLElement)) return;
  const isMeant = refused?.key === key;
  text.hidden = !isMeant;
  if (!isMeant || !refused) return text.replaceChildren();
  const { refusal } = refused;
  text.replaceChildren(refusal.text);
  if (!refusal.beads.length) return;
  const button = create("button", { type: "button" }, "Show them on the band");
  button.addEventListener("click", () => showBeads(refusal.beads));
  text.append(" ", button);
}

/** @param {number[]} beads */
function showBeads(beads) {
  get("palette", HTMLDialogElement).close();
  canvas.overlay.highlighted = new Set(beads);
  canvas.overlay.cursor = beads[0];
  canvas.reveal(beads[0]);
  canvas.redraw();
  const colour = currentChart().colours[currentChart().beads[beads[0]]];
  useColour(colour);
}

/**
 * @param {HTMLElement} item
 * @param {string} hex
 * @param {string} [finish]
 */
function preview(item, hex, finish) {
  if (!/^[0-9A-F]{6}$/.test(hex)) return;
  const pile = item.querySelector("canvas");
  const well = item.querySelector("[data-field=well]");
  const chosen = item.querySelector("select")?.value;
  const colour = { code: "", name: "", hex, finish: finish ?? chosen };
  if (pile) drawPile(pile, { ...PILE, colour });
  if (well instanceof HTMLInputElement) well.value = `#${hex.toLowerCase()}`;
}

/**
 * A field has a new value.
 * @param {string} key
 * @param {Field} field
 * @param {string} typed
 */
function change(key, field, typed) {
  const row = book.draft().rows.find((each) => each.key === key);
  const value = tidied(field, typed);
  if (!row) return;
  const word = FIELDS.find(([name]) => name === field)?.[1].toLowerCase() ?? field;
  if (row[field] !== value)
    book.changeRow(key, { [field]: value }, `${word} of ${row.name} changed`);
  refused = null;
  renderEditor();
}

/**
 * Adds a colour and goes to its name.
 * @param {Partial<Row>} given
 */
function addColour(given) {
  const code = nextCode(book.draft().rows);
  get("palette-search", HTMLInputElement).value = "";
  const key = book.addRow({ code, ...given }, "colour added");
  current = key;
  renderEditor();
  const item = shown.get(key);
  item?.scrollIntoView({ block: "nearest" });
  const name = item?.querySelector("[data-field=name]");
  if (name instanceof HTMLInputElement) name.focus();
}

/**
 * A colour was picked off the photo: it goes to the row that is being edited, or to a new one.
 * @param {string} hex
 * @param {{isNew: boolean}} how
 */
export function takeColour(hex, { isNew }) {
  const row = book.draft().rows.find((each) => each.key === current);
  if (isNew || !row) return addColour({ hex });
  change(row.key, "hex", hex);
  announce(`${row.name || "The new colour"} is ${hex}`);
}

/** The name of the row that a colour from the photo goes to; empty if there is none. */
export function currentName() {
  const row = book.draft().rows.find((each) => each.key === current);
  return row ? row.name || "the new colour" : "";
}

/** @param {string} key */
function select(key) {
  if (current === key) return;
  shown.get(current)?.classList.remove("current");
  current = key;
  shown.get(key)?.classList.add("current");
  document.dispatchEvent(new Event("rowchange"));
}

function renamed() {
  const field = get("palette-name", HTMLInputElement);
  const name = field.value.trim();
  const fault = nameFault(name, book.draft().file);
  element("palette-name-fault").textContent = fault && `${fault}.`;
  markInvalid(field, fault !== "");
  if (fault || `${name}.csv` === book.draft().file) return;
  book.renamePalette(name);
  renderEditor();
}

function currencyChanged() {
  const field = get("palette-currency", HTMLInputElement);
  const currency = field.value.trim();
  const isSound = CURRENCY.test(currency);
  element("palette-currency-fault").textContent = isSound
    ? ""
    : "Its code or sign, such as EUR or £.";
  markInvalid(field, !isSound);
  if (!isSound || currency === book.draft().currency) return;
  book.changeCurrency(currency);
  renderEditor();
}
