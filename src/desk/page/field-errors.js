// What is wrong with a field, said beside it: in the page's words, until it is mended.

import { create } from "./dom.js";
import { number } from "./format.js";

/** @typedef {HTMLInputElement | HTMLSelectElement} Field */

/** A longer message takes the width of the form. */
const SHORT = 60;

/** Counts the messages, so that each has an id. */
let count = 0;

/**
 * Says beside a field what is wrong with it; nothing takes the message away.
 * @param {Field} field
 * @param {string} words
 */
export function setFieldError(field, words) {
  const label = field.closest("label");
  if (!label) return;
  const before = label.querySelector(".field-error");
  if (!words) {
    before?.remove();
    field.removeAttribute("aria-invalid");
    field.removeAttribute("aria-describedby");
    return;
  }
  const message = before ?? create("span", { class: "field-error", id: `field-error-${++count}` });
  if (message.textContent !== words) message.textContent = words;
  message.classList.toggle("long", words.length > SHORT);
  if (!before) label.append(message);
  message.setAttribute("role", "alert");
  field.setAttribute("aria-invalid", "true");
  field.setAttribute("aria-describedby", message.id);
}

/**
 * What is wrong with a field by its own limits, in the page's words; empty if nothing is.
 * @param {Field} field
 */
export function ownError(field) {
  if (field.disabled || field.validity.valid || !(field instanceof HTMLInputElement)) return "";
  const { min, max, step } = field;
  const kind = step === "any" ? "number" : "whole number";
  if (min && max) return `Write a ${kind} from ${number(Number(min))} to ${number(Number(max))}.`;
  if (min) return `Write a ${kind} of ${number(Number(min))} or more.`;
  return `Write a ${kind}.`;
}

/**
 * Checks a field by its own limits and says what is wrong beside it.
 * @param {Field} field
 * @returns {boolean} whether it is valid
 */
export function checkField(field) {
  const words = ownError(field);
  setFieldError(field, words);
  return !words;
}

/**
 * Takes the messages of a part of the page away: what they spoke of is mended.
 * @param {HTMLElement} part
 */
export function clearFieldErrors(part) {
  for (const field of part.querySelectorAll('[aria-invalid="true"]')) {
    const isField = field instanceof HTMLInputElement || field instanceof HTMLSelectElement;
    if (isField && !ownError(field)) setFieldError(field, "");
  }
}

/**
 * Checks the fields of a part of the page as they change.
 * @param {HTMLElement} part
 */
export function checkFields(part) {
  for (const kind of ["input", "change"]) {
    part.addEventListener(kind, ({ target }) => {
      if (target instanceof HTMLInputElement || target instanceof HTMLSelectElement) {
        checkField(target);
      }
    });
  }
}
