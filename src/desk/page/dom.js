// Helpers for the page's elements and for the live region that announces changes.

/**
 * The element with an id, checked to be of the expected class.
 * @template {Element} T
 * @param {string} id
 * @param {new () => T} type
 * @returns {T}
 */
export function get(id, type) {
  const found = document.getElementById(id);
  if (!(found instanceof type)) throw new Error(`the page has no ${id}`);
  return found;
}

/**
 * The HTML element with an id.
 * @param {string} id
 */
export function element(id) {
  return get(id, HTMLElement);
}

/**
 * The trimmed value of a text field or a selection.
 * @param {string} id
 */
export function valueOf(id) {
  const field = /** @type {HTMLInputElement | HTMLSelectElement} */ (element(id));
  return field.value.trim();
}

/**
 * Whether a checkbox is ticked.
 * @param {string} id
 */
export function isChecked(id) {
  return get(id, HTMLInputElement).checked;
}

/**
 * Calls a function when a button is clicked.
 * @param {string} id
 * @param {() => void} action
 */
export function onClick(id, action) {
  element(id).addEventListener("click", action);
}

/**
 * A new element. An attribute that is `true` has no value; `false` and `undefined` leave it out.
 * @template {keyof HTMLElementTagNameMap} K
 * @param {K} tag
 * @param {Record<string, string | number | boolean | undefined>} [attributes]
 * @param {(Node | string)[]} children
 * @returns {HTMLElementTagNameMap[K]}
 */
export function create(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (value === false || value === undefined) continue;
    made.setAttribute(name, value === true ? "" : String(value));
  }
  made.append(...children);
  return made;
}

/**
 * Fills a list of terms and values.
 * @param {string} id
 * @param {[term: string, value: string][]} rows
 */
export function fillTerms(id, rows) {
  const items = rows.flatMap(([term, value]) => [create("dt", {}, term), create("dd", {}, value)]);
  element(id).replaceChildren(...items);
}

/** How many pieces of work are going on. */
let pending = 0;

/**
 * Runs work while the band is shown as busy; it stays so until all pieces of work have ended.
 * @template T
 * @param {() => Promise<T>} work
 */
export async function whileBusy(work) {
  pending += 1;
  element("workspace").classList.add("busy");
  try {
    return await work();
  } finally {
    pending -= 1;
    element("workspace").classList.toggle("busy", pending > 0);
  }
}

/**
 * Shows a message below the band; screen readers read it out.
 * @param {string} text
 */
export function announce(text) {
  element("announcement").textContent = text;
}

/**
 * A function that runs once no call has come for so many milliseconds.
 * @param {() => void} run
 * @param {number} delay
 */
export function debounce(run, delay) {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  let timer;
  return () => {
    clearTimeout(timer);
    timer = setTimeout(run, delay);
  };
}

/**
 * Lets an element receive all further events of a pointer. A pointer that a test made cannot be
 * captured, and need not be.
 * @param {Element} target
 * @param {PointerEvent} event
 */
export function capturePointer(target, event) {
  try {
    target.setPointerCapture(event.pointerId);
  } catch {
    // Events outside the element are lost, nothing else.
  }
}
