// The notice at the top of the page that says what went wrong.

import { element } from "./dom.js";
import { labelIn, phrase, sentence } from "./labels.js";

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
export function showError(fault, { about = "", source = "", part, isSticky = false } = {}) {
  const notice = element("error");
  notice.dataset.source = source;
  notice.dataset.sticky = isSticky ? "yes" : "";
  const label = labelIn(part ?? "options");
  const isNamed = !about || fault.what.includes(about);
  const what = isNamed ? sentence(fault.what, label) : `${about}: ${phrase(fault.what, label)}`;
  element("error-what").textContent = `${what}.`;
  const where = fault.where ?? (fault.option && label({ option: fault.option }));
  element("error-where").textContent = where ? `(${where})` : "";
  const hint = fault.hint_parts ? { parts: fault.hint_parts } : fault.hint;
  element("error-hint").textContent = hint ? `${sentence(hint, label)}.` : "";
  notice.hidden = false;
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
