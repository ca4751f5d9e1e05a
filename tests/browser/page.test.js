// The follow-along page in a real browser, opened as a file: its rows, its place, pointer and keys.

import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import {
  button,
  chartOf,
  closed,
  folder,
  next,
  pageOf,
  press,
  putChart,
  reload,
  runs,
  step,
  upbead,
  visit,
} from "./harness.js";
import { AT_ONCE, makeCharts, toRow } from "./page-charts.js";
import { read } from "./reader.js";

/** @import { Page } from "playwright-core" */

/** @type {string} */
let tide;

before(() => {
  makeCharts();
  tide = pageOf("tide.json");
});
after(closed);

describe("the rows on the page", AT_ONCE, () => {
  /** @type {[string, string[]][]} */
  const cases = [
    ["tide.json", []],
    ["dusk.json", ["--start", "right"]],
    ["tide.json", ["--from", "top", "--keys", "short"]],
    ["strip.json", []],
    ["strip.json", ["--from", "top"]],
  ];
  for (const [name, options] of cases) {
    test(`give ${name} back bead for bead ${options.join(" ")}`, async () => {
      const chart = chartOf(name);
      await visit(pageOf(name, ...options), async (page) => {
        const { names, dots, rows } = await read(page, chart.columns);
        const keys = await keyed(page);
        const count = chart.rows.reduce((sum, row) => sum + row.length, 0);
        assert.equal(names.size, count);
        chart.rows.forEach((beads, row) =>
          beads.forEach((colour, at) => {
            const place = `${row + 1},${2 * at + 1 + (row % 2)}`;
            const shade = chart.colours[colour];
            assert.equal(keys.get(names.get(place) ?? "") ?? names.get(place), shade?.name, place);
            assert.equal(hex(dots.get(place) ?? ""), shade?.hex, place);
          }),
        );
        const told = JSON.parse(upbead("weave", name, "--json", ...options.slice(0, 2)));
        /** @type {Record<string, string>} */
        const turns = {
          turn: "turn",
          "figure-eight": "figure-eight",
          bridge: "odd-count turn",
          end: "end",
        };
        assert.deepEqual(
          rows.map(({ row, turn }) => [row, turn]),
          told.rows.map((/** @type {{row: number, turn: string}} */ row) => [
            row.row,
            `${turns[row.turn]}${row.row === told.try_on?.after_row ? "; try on" : ""}`,
          ]),
        );
        assert.deepEqual(
          rows.map(({ through }) => through.replace(/[^0-9]*row (\d+): .*/, "$1")),
          // The row that was woven before; the first stands on the inner one of the strung rows.
          told.rows.map((/** @type {{row: number}} */ { row }, /** @type {number} */ at) =>
            String(told.rows[at - 1]?.row ?? (options[1] === "top" ? row + 1 : row - 1)),
          ),
        );
      });
    });
  }
});

/** What short keys stand for, by the list of colours on the sheet. @param {Page} page */
async function keyed(page) {
  const lines = await page.locator(".follow-colours li span:nth-of-type(1)").allTextContents();
  const pairs = lines
    .map((line) => line.match(/^(.*?): (.*) \(.*\)$/s))
    .filter((found) => found !== null);
  return new Map(pairs.map((found) => [found[1] ?? "", found[2] ?? ""]));
}

/** @param {string} rgb */
function hex(rgb) {
  const parts = rgb.match(/\d+/g) ?? [];
  return parts
    .map((part) => Number(part).toString(16).padStart(2, "0"))
    .join("")
    .toUpperCase();
}

describe("keeping the place", AT_ONCE, () => {
  test("steps go on and back, and the place survives a reload", () =>
    visit(tide, async (page) => {
      assert.equal(await step(page), "Rows 1 and 2");
      assert.deepEqual(await runs(page), [
        { count: 4, name: "sandbar" },
        { count: 1, name: "jersey navy" },
        { count: 4, name: "sandbar" },
      ]);
      await next(page).click();
      assert.equal(await step(page), "Row 3");
      await next(page).click();
      await next(page).click();
      assert.equal(await step(page), "Row 5");
      await button(page, "Back").click();
      assert.equal(await step(page), "Row 4");
      await reload(page);
      assert.equal(await step(page), "Row 4");
      await button(page, "Undo").click();
      assert.equal(await step(page), "Row 5", "undo survives too");
    }));

  test("arrows for work that is turned over each row are a choice that stays", () =>
    visit(tide, async (page) => {
      const way = () => page.locator(".follow-direction").innerText();
      const choose = async () => {
        await button(page, "More").click();
        await button(page, "I turn the work over after each row").click();
        await page.getByLabel("Close").click();
      };
      await toRow(page, 3);
      assert.match(await way(), /to the left/);
      assert.match(await page.locator(".follow-step").innerText(), /keeps lying the same way/);
      await next(page).click();
      assert.match(await way(), /to the right/);
      await choose();
      assert.match(await way(), /to the left/);
      assert.match(await page.locator(".follow-turn").innerText(), /as it lies in row 3/);
      await reload(page);
      assert.match(await way(), /to the left/, "the choice survives a reload");
      await button(page, "Back").click();
      assert.match(await way(), /to the left/);
      assert.match(await page.locator(".follow-step").innerText(), /every row goes to the left/);
      await toRow(page, 70);
      await next(page).click();
      assert.equal(await step(page), "Try on");
      await choose();
      await next(page).click();
      await next(page).click();
      assert.match(await way(), /to the right/);
    }));

  test("a page that is made again finds the place; another chart's page has its own", () =>
    visit(tide, async (page) => {
      await toRow(page, 30);
      const chart = chartOf("tide.json");
      putChart("renamed.json", { ...chart, title: "Another name" });
      for (const [address, expected] of [
        [pageOf("renamed.json"), "Row 30"],
        [pageOf("tide.json", "--from", "top"), "Rows 71 and 70"],
      ]) {
        const other = await page.context().newPage();
        other.context().removeAllListeners("request");
        await other.goto(address ?? "");
        assert.equal(await step(other), expected);
        await other.close();
      }
    }));

  test("undo goes back over steps, jumps and restarts", () =>
    visit(tide, async (page) => {
      assert.equal(await button(page, "Undo").getAttribute("aria-disabled"), "true");
      await next(page).click();
      await toRow(page, 40);
      await button(page, "More").click();
      await button(page, "Start again").click();
      assert.equal(await step(page), "Rows 1 and 2");
      await button(page, "Undo").click();
      assert.equal(await step(page), "Row 40");
      await page.keyboard.press("Control+z");
      assert.equal(await step(page), "Row 3");
      await button(page, "Undo").click();
      assert.equal(await step(page), "Rows 1 and 2");
      // Nothing is left to undo; the button says so, and does nothing.
      await button(page, "Undo").click({ force: true });
      assert.equal(await step(page), "Rows 1 and 2");
    }));

  test("a place is saved to a file and opened elsewhere", async () => {
    const file = join(folder, "place.json");
    await visit(tide, async (page) => {
      await toRow(page, 25);
      await button(page, "Bead by bead").click();
      await press(page, "ArrowRight", 2);
      await button(page, "More").click();
      const [download] = await Promise.all([
        page.waitForEvent("download"),
        button(page, "Save the place to a file").click(),
      ]);
      assert.equal(download.suggestedFilename(), "tide-place.json");
      await download.saveAs(file);
    });
    const kept = JSON.parse(readFileSync(file, "utf8"));
    assert.deepEqual(
      [kept.format, kept.version, kept.at, kept.bead],
      ["upbead-place", 1, "Row 25", 2],
    );
    await visit(tide, async (page) => {
      await button(page, "More").click();
      await page.getByLabel("Open a saved place").setInputFiles(file);
      await page.getByRole("dialog").waitFor({ state: "hidden" });
      assert.equal(await step(page), "Row 25");
      assert.match(await page.locator(".follow-count").innerText(), / 2 more| of /);
      await button(page, "Undo").click();
      assert.equal(await step(page), "Rows 1 and 2");
    });
  });

  test("files without a place in this chart are refused, and nothing moves", () =>
    visit(tide, async (page) => {
      const good = {
        format: "upbead-place",
        version: 1,
        chart: "0123456789abcdef",
        title: "Kelp <b>",
        step: 3,
        bead: 0,
      };
      const { id } = await page.evaluate(() =>
        JSON.parse(document.getElementById("work")?.textContent ?? ""),
      );
      await next(page).click();
      await button(page, "More").click();
      const faults = [
        ["{", "That file is not a saved place. Choose a file that this page has saved."],
        ["null", "That file is not a saved place. Choose a file that this page has saved."],
        [
          JSON.stringify({ ...good, format: "other" }),
          "That file is not a saved place. Choose a file that this page has saved.",
        ],
        [JSON.stringify(good), "That file holds a place in another chart (Kelp <b>)."],
        [
          JSON.stringify({ ...good, chart: id, step: 5000 }),
          "That file holds a place that this chart does not have.",
        ],
        [
          JSON.stringify({ ...good, chart: id, step: -1 }),
          "That file holds a place that this chart does not have.",
        ],
        [
          JSON.stringify({ ...good, chart: id, step: "3" }),
          "That file holds a place that this chart does not have.",
        ],
        [
          JSON.stringify({ ...good, chart: id, bead: 6 }),
          "That file holds a place that this chart does not have.",
        ],
      ];
      for (const [text, fault] of faults) {
        writeFileSync(join(folder, "bad.json"), text ?? "");
        await page.getByLabel("Open a saved place").setInputFiles(join(folder, "bad.json"));
        await page.getByText(fault ?? "", { exact: true }).waitFor();
        await page.evaluate(() => document.querySelector(".follow-message")?.replaceChildren());
      }
      await page.getByLabel("Row", { exact: true }).fill("73");
      assert.equal(
        await page
          .getByLabel("Row", { exact: true })
          .evaluate((field) => field.matches(":invalid")),
        true,
      );
      await button(page, "Close").click();
      assert.equal(await step(page), "Row 3");
    }));

  test("where storage is refused the page works, and the address holds the place", () =>
    visit(
      tide,
      async (page) => {
        await press(page, "ArrowRight", 6);
        assert.equal(await step(page), "Row 8");
        await page.reload();
        assert.equal(await step(page), "Row 8");
        await button(page, "More").click();
        assert.match(await page.locator(".follow-status").innerText(), /does not store your place/);
      },
      {
        before: () =>
          Object.defineProperty(window, "localStorage", {
            get() {
              throw new DOMException("refused", "SecurityError");
            },
          }),
      },
    ));

  test("a place that storage has no room for is in the address, and the older one is gone", () =>
    visit(tide, async (page) => {
      await press(page, "ArrowRight", 2);
      assert.equal(await step(page), "Row 4");
      await page.evaluate(() => {
        Storage.prototype.setItem = () => {
          throw new DOMException("full", "QuotaExceededError");
        };
      });
      await press(page, "ArrowRight", 3);
      assert.equal(await step(page), "Row 7");
      await reload(page);
      assert.equal(await step(page), "Row 7");
      await press(page, "ArrowRight", 1);
      await reload(page);
      assert.equal(await step(page), "Row 8", "there is room again");
    }));

  test("a full or damaged storage does no harm", () =>
    visit(
      tide,
      async (page) => {
        assert.equal(await step(page), "Rows 1 and 2");
        await press(page, "ArrowRight", 1);
        assert.equal(await step(page), "Row 3");
      },
      {
        before: () => {
          Storage.prototype.getItem = () => '{"version":1,"place":{"step":99999,"bead":0}}';
          Storage.prototype.setItem = () => {
            throw new DOMException("full", "QuotaExceededError");
          };
        },
      },
    ));

  test("two windows of one browser follow each other", () =>
    visit(tide, async (page, context) => {
      const other = await context.newPage();
      await other.goto(tide);
      await press(other, "ArrowRight", 3);
      await page.getByRole("heading", { name: "Row 5" }).waitFor();
      await press(page, "ArrowRight", 1);
      await other.getByRole("heading", { name: "Row 6" }).waitFor();
    }));
});

describe("pointer and keyboard", AT_ONCE, () => {
  test("a swipe to the left goes on, to the right back, and a scroll does neither", () =>
    visit(tide, async (page, context) => {
      const touch = await context.newCDPSession(page);
      /** @param {number[]} from @param {number[]} to */
      const swipe = async ([x = 0, y = 0], [toX = 0, toY = 0]) => {
        await touch.send("Input.dispatchTouchEvent", {
          type: "touchStart",
          touchPoints: [{ x, y }],
        });
        for (let part = 1; part <= 4; part += 1) {
          const at = { x: x + ((toX - x) * part) / 4, y: y + ((toY - y) * part) / 4 };
          await touch.send("Input.dispatchTouchEvent", { type: "touchMove", touchPoints: [at] });
        }
        await touch.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
      };
      await swipe([300, 300], [180, 310]);
      assert.equal(await step(page), "Row 3");
      await swipe([300, 300], [180, 290]);
      assert.equal(await step(page), "Row 4");
      await swipe([180, 300], [300, 310]);
      assert.equal(await step(page), "Row 3");
      await swipe([200, 400], [190, 250]);
      await swipe([200, 300], [185, 300]);
      assert.equal(await step(page), "Row 3");
    }));

  test("the keyboard alone does everything", () =>
    visit(tide, async (page) => {
      await page.keyboard.press("Space");
      assert.equal(await step(page), "Row 3");
      await page.keyboard.press("Enter");
      await page.keyboard.press("ArrowRight");
      assert.equal(await step(page), "Row 5");
      await page.keyboard.press("ArrowLeft");
      assert.equal(await step(page), "Row 4");
      /** @type {string[]} */
      const met = [];
      for (let tab = 0; tab < 12 && !met.at(-1)?.startsWith("Next"); tab += 1) {
        await page.keyboard.press("Tab");
        const { words, ring } = await page.evaluate(() => {
          const focused = document.activeElement ?? document.body;
          return {
            words: focused.textContent?.trim() ?? "",
            ring: getComputedStyle(focused).outlineWidth,
          };
        });
        assert.equal(ring, "3px", `the focus on '${words}' is seen`);
        met.push(words);
      }
      assert.deepEqual(met, ["turn", "Bead by bead", "Undo", "More", "Back", "Next: row 5"]);
      await page.keyboard.press("Enter");
      assert.equal(await step(page), "Row 5");
      await page.keyboard.press("Space");
      assert.equal(await step(page), "Row 6", "a focused button goes one step, not two");
      assert.equal(
        await page.evaluate(() => document.activeElement?.className),
        "follow-next",
        "the focus stays",
      );
      await press(page, "Shift+Tab", 2);
      await page.keyboard.press("Enter");
      await page.getByRole("dialog").waitFor();
      await page.keyboard.press("ArrowRight");
      await page.keyboard.press("Escape");
      await page.getByRole("dialog").waitFor({ state: "hidden" });
      assert.equal(await step(page), "Row 6", "keys do not reach through the sheet");
      assert.equal(await page.evaluate(() => document.activeElement?.textContent), "More");
      await page.keyboard.press("Enter");
      await page.keyboard.press("Tab");
      await page.keyboard.type("12");
      await page.keyboard.press("Enter");
      assert.equal(await step(page), "Row 12");
      await press(page, "Tab", 1);
    }));

  test("bead by bead, a row is counted and its turn comes after the last bead", () =>
    visit(tide, async (page) => {
      await toRow(page, 7);
      await button(page, "Bead by bead").click();
      assert.equal(await button(page, "Bead by bead").getAttribute("aria-pressed"), "true");
      /** @type {string[]} */
      const met = [];
      for (let time = 0; time < 6; time += 1) {
        met.push(
          [
            await page.locator(".follow-runs .is-current, .follow-turn.is-current").innerText(),
            await next(page).innerText(),
          ]
            .join(" | ")
            .replace(/\s+/g, " "),
        );
        await page.keyboard.press("ArrowRight");
      }
      assert.deepEqual(met, [
        "1 mackerel blue 1 of 1 | Next bead",
        "3 gull white 1 of 3 | Next bead",
        "3 gull white 2 of 3 | Next bead",
        "3 gull white 3 of 3 | Next bead",
        "1 mackerel blue 1 of 1 | Next: the turn",
        "odd-count turn | Next: row 8",
      ]);
      assert.equal(await step(page), "Row 8");
      await page.keyboard.press("ArrowLeft");
      assert.equal(await step(page), "Row 7");
      assert.equal(await page.locator(".follow-runs .is-done").count(), 3);
      await page.keyboard.press("ArrowLeft");
      assert.match(
        await page.locator(".follow-through").innerText(),
        /pick up mackerel blue, then the turn/,
      );
      assert.equal(await page.locator(".follow-count").innerText(), "31 of 324 beads");
      await page.keyboard.press("ArrowLeft");
      assert.match(
        await page.locator(".follow-through").innerText(),
        /pick up gull white, then through gull white of row 6/,
      );
      await reload(page);
      assert.match(await page.locator(".follow-runs .is-current").innerText(), /3 of 3/);
      await button(page, "Bead by bead").click();
      await next(page).click();
      assert.equal(await step(page), "Row 8");
    }));

  test("closing, weaving in and the end come after the rows", () =>
    visit(tide, async (page) => {
      await toRow(page, 72);
      const met = [];
      for (let time = 0; time < 7; time += 1) {
        met.push((await step(page)).replace(/\s+/g, " "));
        await page.keyboard.press("ArrowRight");
      }
      assert.deepEqual(met, [
        "Row 72",
        "Close the band 1 of 3",
        "Close the band 2 of 3",
        "Close the band 3 of 3",
        "Weave in the ends",
        "Done",
        "Done",
      ]);
      assert.equal(await page.locator(".follow-count").innerText(), "324 of 324 beads");
    }));

  test("the screen is kept on, also after the page was hidden", () =>
    visit(
      tide,
      async (page) => {
        assert.equal(await page.evaluate("window.asked"), 1);
        await button(page, "More").click();
        await page.getByText("The screen stays on while this page is open.").waitFor();
        await page.evaluate("window.lock.dispatchEvent(new Event('release'))");
        await page.getByText("The screen may go dark").waitFor();
        await page.evaluate(() => document.dispatchEvent(new Event("visibilitychange")));
        await page.getByText("The screen stays on while this page is open.").waitFor();
        assert.equal(await page.evaluate("window.asked"), 2);
      },
      {
        before: `window.asked = 0;
          Object.defineProperty(navigator, "wakeLock", { value: { request: async (kind) => {
            if (kind !== "screen") throw new Error(kind);
            window.asked += 1;
            window.lock = new EventTarget();
            return window.lock;
          } } });`,
      },
    ));

  test("where the screen cannot be kept on the page says so", () =>
    visit(
      tide,
      async (page) => {
        await button(page, "More").click();
        await page.getByText("The screen may go dark").waitFor();
      },
      {
        before: () =>
          Object.defineProperty(navigator, "wakeLock", {
            value: {
              request: async () => {
                throw new DOMException("no", "NotAllowedError");
              },
            },
          }),
      },
    ));
});
