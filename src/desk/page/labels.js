// Words the server's messages: where a message speaks of an option, the page names its own field.

import { capitalised } from "./format.js";

/** @import { Part } from "../answers.d.ts" */
/** @typedef {Extract<Part, {option: string}>} OptionPart */
/** @typedef {Extract<Part, {verb: string}>} VerbPart A verb of the program. */
/**
 * @typedef {string | Part[] | {kind?: string, parts: Part[]}} Message
 *   A message in parts, or text that names no options.
 */
/** @typedef {(part: OptionPart | VerbPart) => string} Labeller Names an option or a verb. */

/** A value that stands for what the user has, such as `ROWS=MM`. */
const PLACEHOLDER = /^[A-Z]+(?:[=x,;.]+[A-Z]*)+$/;

/** Where a field is found; of several in a list that are found there, only the last one says it. */
const PLACE = / under “[^”]+”.*$/;

/**
 * The words of a message.
 * @param {Message} message
 * @param {Labeller} [label]
 */
export function phrase(message, label = labelIn("options")) {
  const words = partsOf(message).map((part) => (typeof part === "string" ? part : label(part)));
  return words
    .map((word, at) => {
      const [place] = PLACE.exec(word) ?? [];
      const isShared = place && words[at + 1] === ", " && words[at + 2]?.endsWith(place);
      return isShared ? word.slice(0, -place.length) : word;
    })
    .join("");
}

/**
 * @param {Message} message
 * @returns {Part[]}
 */
function partsOf(message) {
  if (typeof message === "string") return [message];
  return Array.isArray(message) ? message : message.parts;
}

/**
 * The words of a message, beginning with a capital letter.
 * @param {Message} message
 * @param {Labeller} [label]
 */
export function sentence(message, label = labelIn("options")) {
  return capitalised(phrase(message, label));
}

/**
 * Names options by the labels of their fields, such as `“Scaling: show all”`; an option without a
 * field by its own name.
 * @param {string} part the id of the part of the page whose fields are meant first
 * @returns {Labeller}
 */
export function labelIn(part) {
  return (named) => {
    if ("verb" in named) return verbLabel(named.verb);
    const { option } = named;
    const value = PLACEHOLDER.test(named.value ?? "") ? undefined : named.value;
    const field = fieldOf(option, part);
    if (!field) {
      const name = option.replace(/[-_]/g, " ");
      return value === undefined ? name : `${name} ${value}`;
    }
    return nameOf(field, value) + placeOf(field);
  };
}

/** A flag or a verb of the command line in a text of several lines. */
const FLAG = /(?<=^|\s)--([a-z][a-z-]+)|`upbead ([a-z-]+)`/gm;

/**
 * A text that the program wrote for the command line, with the page's fields in place of flags.
 * @param {string} text
 * @param {string} part the id of the part of the page whose fields are meant first
 */
export function withLabels(text, part) {
  const label = labelIn(part);
  return text.replace(FLAG, (_, flag, verb) => {
    if (verb) return label({ verb });
    if (flag === "json") return "the report for other programs";
    return label({ option: flag.replaceAll("-", "_") });
  });
}

/**
 * A verb of the program by the part of the page that does it.
 * @param {string} verb
 */
function verbLabel(verb) {
  const found = document.querySelector(`[data-verb="${CSS.escape(verb)}"]`);
  if (!(found instanceof HTMLElement)) return verb;
  return `“${labelText(found)}”${panelOf(found)}`;
}

/**
 * The field of an option: one in sight before hidden ones, one of the part that is meant before
 * others. Where several fields share an option, the last one has the value in full.
 * @param {string} option
 * @param {string} part
 */
export function fieldOf(option, part) {
  const name = option.replaceAll("_", "-");
  /** @type {HTMLElement[]} */
  const all = [...document.querySelectorAll(`[data-option="${CSS.escape(name)}"]`)].filter(
    (field) => field instanceof HTMLElement,
  );
  const shown = preferred(all, (field) => !field.closest("[hidden]"));
  return preferred(shown, (field) => field.closest(`#${part}`) !== null).at(-1);
}

/**
 * The items that pass, or all of them if none does.
 * @template T
 * @param {T[]} items
 * @param {(item: T) => boolean} passes
 */
function preferred(items, passes) {
  const found = items.filter(passes);
  return found.length ? found : items;
}

/**
 * @param {HTMLElement} field
 * @param {string | undefined} value
 */
function nameOf(field, value) {
  if (field.dataset.label) return field.dataset.label;
  const isChoice = field instanceof HTMLOptionElement;
  const select = isChoice ? field.closest("select") : null;
  const label = labelText(select ?? field) + (isChoice ? `: ${field.text}` : "");
  if (value === undefined) return `“${label}”`;
  const text = choiceText(field, value);
  if (text === undefined) return `“${label}” ${value}`;
  const count = /:(\d+)$/.exec(value);
  return `“${label}: ${text}”${count ? ` × ${count[1]}` : ""}`;
}

/**
 * How a selection words a value; undefined if it does not have the value.
 * @param {HTMLElement} field
 * @param {string} value
 */
function choiceText(field, value) {
  if (!(field instanceof HTMLSelectElement)) return undefined;
  const name = value.split(":")[0];
  return [...field.options].find((option) => option.value === name)?.text;
}

/** @param {HTMLElement} field */
function labelText(field) {
  const label = field.closest("label") ?? field;
  const text = (label.querySelector("span") ?? label).textContent ?? "";
  return text.replace(/\s+/g, " ").trim();
}

/**
 * Where a field is found that is folded away.
 * @param {HTMLElement} field
 */
function placeOf(field) {
  if (field.dataset.label) return "";
  const summary = field.closest("details")?.querySelector("summary")?.textContent?.trim();
  return (summary ? ` under “${summary}”` : "") + panelOf(field);
}

/**
 * The popover or dialog that an element is in.
 * @param {HTMLElement} element
 */
function panelOf(element) {
  const heading = element.closest("[popover], dialog")?.querySelector("h2");
  return heading ? ` in “${heading.textContent?.trim()}”` : "";
}
