// Reads the rows off the page as a weaver does, and lays the beads out again. Knows flat peyote,
// and nothing of the program.

import assert from "node:assert/strict";
/** @import { Page } from "playwright-core" */

/**
 * One step as it is seen; then the large button is pressed.
 * @param {Page} page
 */
function seen(page) {
  return page.evaluate(() => {
    const text = (/** @type {string} */ where) =>
      document.querySelector(`.follow-step ${where}`)?.textContent ?? "";
    const dots = (/** @type {Element} */ item) =>
      [...item.querySelectorAll(".bead")].map((bead) => getComputedStyle(bead).backgroundColor);
    const found = {
      heading: text("h2"),
      lead: text(".follow-direction"),
      turn: text(".follow-turn-name"),
      through: text(".follow-through"),
      runs: [...document.querySelectorAll(".follow-runs li")].map((item) => ({
        count: Number(item.querySelector(".count")?.textContent),
        name: item.querySelector(".name")?.textContent ?? "",
        dots: dots(item),
      })),
    };
    /** @type {HTMLElement | null} */ (document.querySelector(".follow-next"))?.click();
    return found;
  });
}

/**
 * Goes through all steps by the large button. Returns the colour's name at each `row,column`, the
 * dots' colours likewise, and each row's words.
 * @param {Page} page
 * @param {number} columns
 */
export async function read(page, columns) {
  /** @type {Map<string, string>} */
  const names = new Map();
  /** @type {Map<string, string>} */
  const dots = new Map();
  /** @type {{row: number, turn: string, through: string}[]} */
  const rows = [];
  for (;;) {
    const { heading, lead, turn, through, runs } = await seen(page);
    if (heading === "Done") break;
    const numbers = (heading.match(/\d+/g) ?? []).map(Number);
    if (runs.length > 0) {
      const [row = 0] = numbers;
      const places = numbers.length === 2 ? strung(numbers, columns) : woven(row, columns);
      if (lead.includes("to the left")) places.reverse();
      const laid = runs.flatMap(({ count, name, dots }) =>
        Array.from({ length: count }, (_, at) => ({ name, dot: dots[at] ?? "none" })),
      );
      assert.equal(laid.length, places.length, heading);
      assert.match(lead, new RegExp(`, ${laid.length} beads?$`));
      places.forEach((place, at) => {
        assert.ok(!names.has(place), `${place} is woven twice`);
        names.set(place, laid[at]?.name ?? "");
        dots.set(place, laid[at]?.dot ?? "");
      });
      if (numbers.length === 1) rows.push({ row, turn, through });
    }
  }
  return { names, dots, rows };
}

/** Odd rows fill odd columns, even rows even ones. @param {number} row @param {number} columns */
function woven(row, columns) {
  const all = Array.from({ length: columns }, (_, at) => at + 1);
  return all.filter((column) => (column - row) % 2 === 0).map((column) => `${row},${column}`);
}

/**
 * Two rows strung together: a bead for each column, odd and even rows in alternation.
 * @param {number[]} rows
 * @param {number} columns
 */
function strung(rows, columns) {
  const all = Array.from({ length: columns }, (_, at) => at + 1);
  return all.map((column) => `${rows.find((row) => (column - row) % 2 === 0)},${column}`);
}
