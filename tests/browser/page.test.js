// The follow-along page in a real browser, opened as a file.

import assert from "node:assert/strict";
import { readFileSync, statSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { fileURLToPath } from "node:url";
import { PHONE, button, chartOf, closed, folder, next, pageOf, press, putChart, repository, runs, step, upbead, visit } from "./harness.js";
import { read } from "./reader.js";

/** @import { Page } from "playwright-core" */
/** @import { Chart } from "./harness.js" */

const AXE = createRequire(import.meta.url).resolve("axe-core/axe.min.js");
const NASTY = `</script><script>alert("tide")</script> <!-- "Mo'we" & 🪡 {script} \u2028`;

/** Journeys that go on side by side: each has a context of its own. */
const AT_ONCE = { concurrency: 3 };

/** @type {string} */
let tide;

/** A strip with an even count of columns, an odd one of rows, names that are hard to set. @returns {Chart} */
function strip() {
  const rows = Array.from({ length: 9 }, (_, row) => Array.from({ length: 3 }, (_, at) => (row * at + row) % 3));
  const colours = [
    { code: "a<b", name: `<img src=x onerror="alert('kelp')">`, hex: "2F5D50" },
    { code: "b", name: "θάλασσα, 2nd lot", hex: "1C3261" },
    { code: "c", name: "bladderwrackbladderwrackbladderwrackbladderwrack", hex: "FAFAF6" },
  ];
  return { columns: 6, closed: false, title: NASTY, colours, rows };
}

before(() => {
  const sample = (/** @type {string} */ path) => join(repository, path);
  const [tin, harbour] = [sample("palettes/tin.csv"), sample("palettes/harbour.csv")];
  upbead("chart", sample("samples/tide-line.png"), "--palette", tin, "--rows", "72", "--place", "repeat:4", "--mirror", "columns", "--colours", "5", "-o", "tide.json");
  upbead("chart", sample("samples/harbour-dusk.jpg"), "--palette", harbour, "--colours", "12", "--columns", "9", "--size", "us7", "-o", "dusk.json");
  upbead("chart", sample("samples/harbour-dusk.jpg"), "--palette", harbour, "--colours", "24", "--open", "--columns", "81", "--rows", "240", "-o", "panel.json");
  putChart("strip.json", strip());
  tide = pageOf("tide.json");
});
after(closed);

/**
 * To the step in which a row is woven.
 * @param {Page} page
 * @param {number} row
 */
async function toRow(page, row) {
  await button(page, "More").click();
  await page.getByLabel("Row", { exact: true }).fill(String(row));
  await button(page, "Go there").click();
  assert.equal(await step(page), `Row ${row}`);
}

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
        const turns = { turn: "turn", "figure-eight": "figure-eight", bridge: "turn: bridge", end: "end" };
        assert.deepEqual(
          rows.map(({ row, turn }) => [row, turn]),
          told.rows.map((/** @type {{row: number, turn: string}} */ row) => [row.row, turns[row.turn]]),
        );
        assert.deepEqual(
          rows.map(({ through }) => through.replace(/[^0-9]*row (\d+): .*/, "$1")),
          // The row that was woven before; the first stands on the inner one of the strung rows.
          told.rows.map((/** @type {{row: number}} */ { row }, /** @type {number} */ at) => String(told.rows[at - 1]?.row ?? (options[1] === "top" ? row + 1 : row - 1))),
        );
      });
    });
  }
});

/** What short keys stand for, by the list of colours on the sheet. @param {Page} page */
async function keyed(page) {
  const lines = await page.locator(".follow-colours li span:nth-of-type(1)").allTextContents();
  const pairs = lines.map((line) => line.match(/^(.*?): (.*) \(.*\)$/s)).filter((found) => found !== null);
  return new Map(pairs.map((found) => [found[1] ?? "", found[2] ?? ""]));
}

/** @param {string} rgb */
function hex(rgb) {
  const parts = rgb.match(/\d+/g) ?? [];
  return parts.map((part) => Number(part).toString(16).padStart(2, "0")).join("").toUpperCase();
}

describe("keeping the place", AT_ONCE, () => {
  test("steps go forward and back, and the place survives a reload", () =>
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
      await page.reload();
      assert.equal(await step(page), "Row 4");
      await button(page, "Undo").click();
      assert.equal(await step(page), "Row 5", "undo survives too");
    }));

  test("a page made again finds the place, another chart's page has its own", () =>
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
      await button(page, "Begin again").click();
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

  test("a place is saved as a file and opened elsewhere", async () => {
    const file = join(folder, "place.json");
    await visit(tide, async (page) => {
      await toRow(page, 25);
      await button(page, "Bead by bead").click();
      await press(page, "ArrowRight", 2);
      await button(page, "More").click();
      const [download] = await Promise.all([page.waitForEvent("download"), button(page, "Save the place as a file").click()]);
      assert.equal(download.suggestedFilename(), "tide-place.json");
      await download.saveAs(file);
    });
    const kept = JSON.parse(readFileSync(file, "utf8"));
    assert.deepEqual([kept.format, kept.version, kept.at, kept.bead], ["upbead-place", 1, "Row 25", 2]);
    await visit(tide, async (page) => {
      await button(page, "More").click();
      await page.getByLabel("Open a saved place").setInputFiles(file);
      await page.getByRole("dialog").waitFor({ state: "hidden" });
      assert.equal(await step(page), "Row 25");
      assert.match(await page.locator(".follow-share").innerText(), / 2 more| of /);
      await button(page, "Undo").click();
      assert.equal(await step(page), "Rows 1 and 2");
    });
  });

  test("files without a place in this chart are refused, and nothing moves", () =>
    visit(tide, async (page) => {
      const good = { format: "upbead-place", version: 1, chart: "0123456789abcdef", title: "Kelp <b>", step: 3, bead: 0 };
      const { id } = await page.evaluate(() => JSON.parse(document.getElementById("work")?.textContent ?? ""));
      await next(page).click();
      await button(page, "More").click();
      const faults = [
        ["{", "That file keeps no place: choose one that this page saved."],
        ["null", "That file keeps no place: choose one that this page saved."],
        [JSON.stringify({ ...good, format: "other" }), "That file keeps no place: choose one that this page saved."],
        [JSON.stringify(good), "That file keeps the place of another chart (Kelp <b>)."],
        [JSON.stringify({ ...good, chart: id, step: 5000 }), "That file names a place that this chart does not have."],
        [JSON.stringify({ ...good, chart: id, step: -1 }), "That file names a place that this chart does not have."],
        [JSON.stringify({ ...good, chart: id, step: "3" }), "That file names a place that this chart does not have."],
        [JSON.stringify({ ...good, chart: id, bead: 6 }), "That file names a place that this chart does not have."],
      ];
      for (const [text, fault] of faults) {
        writeFileSync(join(folder, "bad.json"), text ?? "");
        await page.getByLabel("Open a saved place").setInputFiles(join(folder, "bad.json"));
        await page.getByText(fault ?? "", { exact: true }).waitFor();
        await page.evaluate(() => document.querySelector(".follow-note")?.replaceChildren());
      }
      await page.getByLabel("Row", { exact: true }).fill("73");
      assert.equal(await page.getByLabel("Row", { exact: true }).evaluate((field) => field.matches(":invalid")), true);
      await button(page, "Close").click();
      assert.equal(await step(page), "Row 3");
    }));

  test("where storage is refused the page works, and the address keeps the place", () =>
    visit(
      tide,
      async (page) => {
        await press(page, "ArrowRight", 6);
        assert.equal(await step(page), "Row 8");
        await page.reload();
        assert.equal(await step(page), "Row 8");
        await button(page, "More").click();
        assert.match(await page.locator(".follow-state").innerText(), /keeps nothing for this page/);
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

  test("two windows of one browser keep step", () =>
    visit(tide, async (page, context) => {
      const other = await context.newPage();
      await other.goto(tide);
      await press(other, "ArrowRight", 3);
      await page.getByRole("heading", { name: "Row 5" }).waitFor();
      await press(page, "ArrowRight", 1);
      await other.getByRole("heading", { name: "Row 6" }).waitFor();
    }));
});

describe("touch and keyboard", AT_ONCE, () => {
  test("a swipe to the left goes forward, to the right back, and a scroll does neither", () =>
    visit(tide, async (page, context) => {
      const touch = await context.newCDPSession(page);
      /** @param {number[]} from @param {number[]} to */
      const swipe = async ([x = 0, y = 0], [toX = 0, toY = 0]) => {
        await touch.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: [{ x, y }] });
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
          return { words: focused.textContent?.trim() ?? "", ring: getComputedStyle(focused).outlineWidth };
        });
        assert.equal(ring, "3px", `the focus on '${words}' is seen`);
        met.push(words);
      }
      assert.deepEqual(met, ["turn", "Bead by bead", "Undo", "More", "Back", "Next: row 5"]);
      await page.keyboard.press("Enter");
      assert.equal(await step(page), "Row 5");
      await page.keyboard.press("Space");
      assert.equal(await step(page), "Row 6", "a focused button goes one step, not two");
      assert.equal(await page.evaluate(() => document.activeElement?.className), "follow-next", "the focus stays");
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

  test("bead by bead, a row runs to its end and the turnaround comes after the last bead", () =>
    visit(tide, async (page) => {
      await toRow(page, 7);
      await button(page, "Bead by bead").click();
      assert.equal(await button(page, "Bead by bead").getAttribute("aria-pressed"), "true");
      /** @type {string[]} */
      const met = [];
      for (let time = 0; time < 6; time += 1) {
        met.push([await page.locator(".follow-runs .is-now, .follow-turn.is-now").innerText(), await next(page).innerText()].join(" | ").replace(/\s+/g, " "));
        await page.keyboard.press("ArrowRight");
      }
      assert.deepEqual(met, [
        "1 mackerel blue 1 of 1 | Next bead",
        "3 gull white 1 of 3 | Next bead",
        "3 gull white 2 of 3 | Next bead",
        "3 gull white 3 of 3 | Next bead",
        "1 mackerel blue 1 of 1 | Next: the turn",
        "turn: bridge | Next: row 8",
      ]);
      assert.equal(await step(page), "Row 8");
      await page.keyboard.press("ArrowLeft");
      assert.equal(await step(page), "Row 7");
      assert.equal(await page.locator(".follow-runs .is-done").count(), 3);
      await page.keyboard.press("ArrowLeft");
      assert.match(await page.locator(".follow-under").innerText(), /pick up mackerel blue, then the turn/);
      assert.equal(await page.locator(".follow-share").innerText(), "31 of 324 beads");
      await page.keyboard.press("ArrowLeft");
      assert.match(await page.locator(".follow-under").innerText(), /pick up gull white, then through gull white of row 6/);
      await page.reload();
      assert.match(await page.locator(".follow-runs .is-now").innerText(), /3 of 3/);
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
      assert.deepEqual(met, ["Row 72", "Close the band 1 of 3", "Close the band 2 of 3", "Close the band 3 of 3", "Weave in the ends", "Done", "Done"]);
      assert.equal(await page.locator(".follow-share").innerText(), "324 of 324 beads");
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
      { before: `Object.defineProperty(navigator, "wakeLock", { value: { request: async () => { throw new DOMException("no", "NotAllowedError"); } } });` },
    ));
});

describe("reading and listening", AT_ONCE, () => {
  test("each row is announced in words", () =>
    visit(tide, async (page) => {
      const live = page.locator(".follow > [role=status]");
      assert.equal(await live.getAttribute("aria-live"), "polite");
      await toRow(page, 6);
      await next(page).click();
      assert.equal(await live.textContent(), "Row 7, to the left, 5 beads: 1 mackerel blue, 3 gull white, 1 mackerel blue. turn: bridge.");
      await button(page, "Bead by bead").click();
      await press(page, "ArrowRight", 2);
      assert.equal(await live.textContent(), "gull white, 2 of 3");
      await press(page, "ArrowRight", 3);
      assert.equal(await live.textContent(), "Row 7: turn: bridge");
    }));

  for (const colorScheme of /** @type {const} */ (["light", "dark"])) {
    test(`axe finds nothing serious in the ${colorScheme}`, async () => {
      for (const [address, options] of /** @type {const} */ ([
        [tide, PHONE],
        [pageOf("strip.json"), { viewport: { width: 1280, height: 800 } }],
      ])) {
        await visit(
          address,
          async (page) => {
            await page.addScriptTag({ path: AXE }).catch(() => undefined);
            await faultless(page, "first");
            await press(page, "ArrowRight", 4);
            await faultless(page, "row");
            await button(page, "Bead by bead").click();
            await page.keyboard.press("ArrowRight");
            await faultless(page, "counting");
            await button(page, "More").click();
            await faultless(page, "sheet");
            await page.keyboard.press("Escape");
            await button(page, "Bead by bead").click();
            while ((await step(page)) !== "Done") await page.keyboard.press("ArrowRight");
            await faultless(page, "done");
          },
          { ...options, colorScheme, bypassCSP: true, reducedMotion: "reduce" },
        );
      }
    });
  }

  test("light and dark differ, and follow the system while the page is open", () =>
    visit(tide, async (page) => {
      const ground = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
      const [light] = [await ground(), await page.emulateMedia({ colorScheme: "dark" })];
      assert.notEqual(await ground(), light);
    }));

  test("nothing moves if the system asks for less motion", () =>
    visit(tide, async (page) => {
      // In one go: on a busy machine the motion is over before a second question arrives.
      const moving = () =>
        next(page).evaluate((/** @type {HTMLElement} */ button) => {
          button.click();
          return document.getAnimations().length;
        });
      assert.ok((await moving()) > 0);
      await page.emulateMedia({ reducedMotion: "reduce" });
      await page.waitForFunction(() => document.getAnimations().length === 0);
      assert.equal(await moving(), 0);
    }));

  for (const name of ["tide.json", "strip.json", "panel.json"]) {
    test(`nothing of ${name} is cut off on any screen, nor with letters of twice the size`, async () => {
      await visit(
        pageOf(name),
        async (page) => {
          // The third is the narrowest and lowest of WCAG's reflow, success criterion 1.4.10.
          for (const [width, height, letters] of /** @type {const} */ ([[360, 640, 1], [360, 640, 2], [320, 256, 1], [640, 360, 1], [800, 1200, 2], [1280, 800, 1], [1280, 800, 2]])) {
            await page.setViewportSize({ width, height });
            await page.evaluate((times) => void (document.documentElement.style.fontSize = `${times * 100}%`), letters);
            const when = `${width} x ${height}, letters ${letters}`;
            for (const steps of [0, 1, 3]) {
              await press(page, "ArrowRight", steps);
              await fits(page, `${when}, ${await step(page)}`);
            }
            await button(page, "Bead by bead").click();
            await fits(page, `${when}, counting`);
            await button(page, "More").click();
            await fits(page, `${when}, sheet`);
            await button(page, "Begin again").click();
            await button(page, "Bead by bead").click();
          }
        },
        { hasTouch: false, reducedMotion: "reduce" },
      );
    });
  }
});

/**
 * Nothing sticks out sideways, what is pressed is large enough, and the steps are on the screen without scrolling.
 * @param {Page} page
 * @param {string} when
 */
async function fits(page, when) {
  const found = await page.evaluate(() => {
    const wide = document.documentElement.scrollWidth - window.innerWidth;
    const out = [...document.querySelectorAll(".follow *")].filter((one) => {
      const box = one.getBoundingClientRect();
      return box.width > 1 && box.height > 1 && (box.right > window.innerWidth + 0.5 || box.left < -0.5);
    });
    const open = document.querySelector("dialog[open]") ?? document;
    const pressed = [...open.querySelectorAll("button, summary, .follow-file, input:not([type=file])")].filter((one) => one.getClientRects().length > 0);
    const small = pressed.filter((one) => {
      const box = one.getBoundingClientRect();
      return box.width < 43.9 || box.height < 43.9;
    });
    const steps = [...document.querySelectorAll(".follow-steps button")].map((one) => one.getBoundingClientRect());
    const away = steps.filter((box) => box.top < 0 || box.bottom > window.innerHeight + 0.5).map((box) => `${box.top} to ${box.bottom}`);
    const named = (/** @type {Element} */ one) => `${one.tagName}.${one.className} ${one.textContent?.slice(0, 20)}`;
    return { wide, out: out.map(named), small: small.map(named), away };
  });
  assert.deepEqual(found, { wide: 0, out: [], small: [], away: [] }, when);
}

/**
 * @param {Page} page
 * @param {string} when
 */
async function faultless(page, when) {
  const faults = await page.evaluate(async () => {
    // What the dark changes is colours; all else has been looked at in the light.
    const dark = matchMedia("(prefers-color-scheme: dark)").matches;
    const { axe } = /** @type {{axe: typeof import("axe-core")}} */ (/** @type {unknown} */ (window));
    const found = await axe.run(document, { runOnly: dark ? ["color-contrast"] : ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] });
    if (found.passes.length < (dark ? 1 : 5)) throw new Error("axe looked at nothing");
    return found.violations.map((fault) => `${fault.impact} ${fault.id}: ${fault.nodes.map((node) => node.html).join(" ")}`);
  });
  assert.deepEqual(faults, [], when);
}

describe("what is in the file", AT_ONCE, () => {
  test("a ring's page is small, and the same bytes each time", () => {
    const file = fileURLToPath(tide);
    const bytes = readFileSync(file);
    assert.ok(statSync(file).size < 300_000, `${statSync(file).size}`);
    assert.ok(bytes.equals(readFileSync(fileURLToPath(pageOf("tide.json")))));
  });

  test("titles and names are words, whatever is in them", () =>
    visit(pageOf("strip.json"), async (page) => {
      const words = NASTY.replace(/\s+/g, " ").trim();
      assert.equal(await page.title(), words);
      assert.equal(await page.locator("h1").textContent(), words);
      const names = new Set((await runs(page)).map(({ name }) => name));
      assert.ok([...names].every((name) => strip().colours.some((colour) => colour.name === name)), [...names].join());
      assert.equal(await page.locator("img, main script").count(), 0);
      assert.equal(await page.locator("script").count(), 2);
    }));

  test("the policy blocks every request", async () => {
    await visit(tide, async (page) => {
      /** @type {(string | undefined)[]} */
      const failed = [];
      page.context().removeAllListeners("console");
      page.context().removeAllListeners("request");
      page.context().on("requestfailed", (request) => failed.push(request.failure()?.errorText));
      page.context().on("response", (response) => failed.push(response.url()));
      const blocked = await page.evaluate(async () => {
        /** @type {string[]} */
        const blocked = [];
        document.addEventListener("securitypolicyviolation", (event) => blocked.push(event.effectiveDirective));
        const image = document.createElement("img");
        image.src = "https://tide.invalid/a.png";
        const script = document.createElement("script");
        script.textContent = "window.ran = true";
        const style = document.createElement("style");
        style.textContent = "h1 { display: none }";
        document.body.append(image, script, style);
        await fetch("https://tide.invalid/").catch(() => undefined);
        await new Promise((done) => setTimeout(done, 50));
        if ("ran" in window) blocked.push("ran");
        return blocked.sort();
      });
      assert.ok(failed.every((why) => why === "csp"), failed.join());
      assert.deepEqual(blocked, ["connect-src", "img-src", "script-src-elem", "style-src-elem"]);
    });
  });

  test("a page can have a part of the rows, and short keys", async () => {
    await visit(pageOf("tide.json", "--rows", "20..22", "--keys", "short"), async (page) => {
      const met = [];
      for (let time = 0; time < 4; time += 1) {
        met.push([await step(page), ...(await runs(page)).map(({ count, name }) => `${count} ${name}`)].join(" "));
        await page.keyboard.press("ArrowRight");
      }
      const told = upbead("weave", "tide.json", "--rows", "20..22", "--keys", "short").match(/(?<=^ *\d+ [←→] \d+ +)\S.*?(?=  )/gm);
      assert.deepEqual(
        met.map((row) => row.replace(/Row \d+ /, "")),
        [...(told ?? []).map((row) => row.replaceAll(",", "")), "Done"],
      );
    });
  });
});
