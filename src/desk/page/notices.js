// What went wrong: beside the field that it is about, else in the notice above the band.

import { element } from "./dom.js";
import { setFieldError } from "./field-errors.js";
import { fieldOf, labelIn, phrase, sentence } from "./labels.js";

/**
 * @typedef {object} ErrorOptions
 * @property {string} [about] the file that is wrong
 * @property {string} [source] what went wrong, so that only its success clears the notice
 * @property {string} [part] the id of the part of the page whose fields are meant
 * @property {boolean} [isSticky] whether the notice stays until it is closed
 */

/**
 * Shows an error until it is cleared or closed.
 * @param {import("./api.js").Fault} fault
 * @param {ErrorOptions} [options]
 */
export function showError(fault, options = {}) {
  if (fault.option && showBeside(fault, fault.option, options.part ?? "options")) return;
  showNotice(fault, options);
}

/**
 * Says what is wrong beside its field; false if the page shows no such field.
 * @param {import("./api.js").Fault} fault
 * @param {string} option
 * @param {string} part
 */
function showBeside(fault, option, part) {
  const field = fieldOf(option, part);
  const isField = field instanceof HTMLInputElement || field instanceof HTMLSelectElement;
  if (!isField || field.closest("[hidden]") || !field.closest("label")) return false;
  const panel = field.closest("[popover]");
  if (panel instanceof HTMLElement && !panel.matches(":popover-open")) panel.showPopover();
  field.closest("details")?.setAttribute("open", "");
  setFieldError(field, wordsOf(fault, labelIn(part)));
  field.scrollIntoView({ block: "nearest" });
  return true;
}

/**
 * @param {import("./api.js").Fault} fault
 * @param {import("./labels.js").Labeller} label
 */
function wordsOf(fault, label) {
  const hint = hintOf(fault);
  const what = `${sentence(fault.what, label)}.`;
  return hint ? `${what} ${sentence(hint, label)}.` : what;
}

/** @param {import("./api.js").Fault} fault */
function hintOf({ hint, hint_parts }) {
  return hint_parts ? { parts: hint_parts } : hint;
}

/**
 * @param {import("./api.js").Fault} fault
 * @param {ErrorOptions} options
 */
function showNotice(fault, { about = "", source = "", part, isSticky = false }) {
  const notice = element("error");
  notice.dataset.source = source;
  notice.dataset.sticky = isSticky ? "yes" : "";
  const label = labelIn(part ?? "options");
  const isNamed = !about || fault.what.includes(about);
  const what = isNamed ? sentence(fault.what, label) : `${about}: ${phrase(fault.what, label)}`;
  element("error-what").textContent = `${what}.`;
  const place = fault.where === about ? undefined : fault.where;
  const where = place ?? (fault.option && label({ option: fault.option }));
  element("error-where").textContent = where ? `(${where})` : "";
  const hint = hintOf(fault);
  element("error-hint").textContent = hint ? `${sentence(hint, label)}.` : "";
  notice.hidden = false;
  notice.scrollIntoView({ block: "nearest" });
}

/**
 * Clears the notice, unless it is sticky or comes from another source than the one given.
 * @param {string} [source]
 */
export function clearError(source) {
  const notice = element("error");
  const isMeant = source === undefined || notice.dataset.source === source;
  if (isMeant && !notice.dataset.sticky) notice.hidden = true;
}

/** Closes the notice, whatever it says. */
export function closeError() {
  element("error").hidden = true;
}
