// The follow-along page in a real browser: accessibility, sizes, and what is in the file.

import assert from "node:assert/strict";
import { readFileSync, statSync } from "node:fs";
import { createRequire } from "node:module";
import { after, before, describe, test } from "node:test";
import { fileURLToPath } from "node:url";
import {
  PHONE,
  button,
  closed,
  next,
  pageOf,
  press,
  runs,
  step,
  upbead,
  visit,
} from "./harness.js";
import { AT_ONCE, makeCharts, NASTY, strip, toRow } from "./page-charts.js";

/** @import { Page } from "playwright-core" */

const AXE = createRequire(import.meta.url).resolve("axe-core/axe.min.js");

/** @type {string} */
let tide;

before(() => {
  makeCharts();
  tide = pageOf("tide.json");
});
after(closed);

describe("accessibility", AT_ONCE, () => {
  test("each row is announced in words", () =>
    visit(tide, async (page) => {
      const live = page.locator(".follow > [role=status]");
      assert.equal(await live.getAttribute("aria-live"), "polite");
      await toRow(page, 6);
      await next(page).click();
      assert.equal(
        await live.textContent(),
        "Row 7, to the left, 5 beads: " +
          "1 mackerel blue, 3 gull white, 1 mackerel blue. odd-count turn.",
      );
      await button(page, "Bead by bead").click();
      await press(page, "ArrowRight", 2);
      assert.equal(await live.textContent(), "gull white, 2 of 3");
      await press(page, "ArrowRight", 3);
      assert.equal(await live.textContent(), "Row 7: odd-count turn");
    }));

  for (const colorScheme of /** @type {const} */ (["light", "dark"])) {
    test(`axe finds nothing, ${colorScheme}`, async () => {
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

  test("with reduced motion nothing moves", () =>
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
    test(`nothing of ${name} is cut off on any screen, or at twice the letter size`, async () => {
      await visit(
        pageOf(name),
        async (page) => {
          // The third is the narrowest and lowest of WCAG's reflow, success criterion 1.4.10.
          for (const [width, height, letters] of /** @type {const} */ ([
            [360, 640, 1],
            [360, 640, 2],
            [320, 256, 1],
            [640, 360, 1],
            [800, 1200, 2],
            [1280, 800, 1],
            [1280, 800, 2],
          ])) {
            await page.setViewportSize({ width, height });
            await page.evaluate(
              (times) => void (document.documentElement.style.fontSize = `${times * 100}%`),
              letters,
            );
            const when = `${width} x ${height}, letters ${letters}`;
            for (const steps of [0, 1, 3]) {
              await press(page, "ArrowRight", steps);
              await fits(page, `${when}, ${await step(page)}`);
            }
            await button(page, "Bead by bead").click();
            await fits(page, `${when}, counting`);
            await button(page, "More").click();
            await fits(page, `${when}, sheet`);
            await button(page, "Start again").click();
            await button(page, "Bead by bead").click();
          }
        },
        { hasTouch: false, reducedMotion: "reduce" },
      );
    });
  }
});

/**
 * Nothing sticks out sideways, what is pressed is large enough, and the steps are on the screen
 * without scrolling.
 * @param {Page} page
 * @param {string} when
 */
async function fits(page, when) {
  const found = await page.evaluate(() => {
    const wide = document.documentElement.scrollWidth - window.innerWidth;
    const out = [...document.querySelectorAll(".follow *")].filter((one) => {
      const box = one.getBoundingClientRect();
      return (
        box.width > 1 && box.height > 1 && (box.right > window.innerWidth + 0.5 || box.left < -0.5)
      );
    });
    const open = document.querySelector("dialog[open]") ?? document;
    const pressed = [
      ...open.querySelectorAll("button, summary, .follow-file, input:not([type=file])"),
    ].filter((one) => one.getClientRects().length > 0);
    const small = pressed.filter((one) => {
      const box = one.getBoundingClientRect();
      return box.width < 43.9 || box.height < 43.9;
    });
    const steps = [...document.querySelectorAll(".follow-buttons button")].map((one) =>
      one.getBoundingClientRect(),
    );
    const away = steps
      .filter((box) => box.top < 0 || box.bottom > window.innerHeight + 0.5)
      .map((box) => `${box.top} to ${box.bottom}`);
    const named = (/** @type {Element} */ one) =>
      `${one.tagName}.${one.className} ${one.textContent?.slice(0, 20)}`;
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
    const { axe } = /** @type {{axe: typeof import("axe-core")}} */ (
      /** @type {unknown} */ (window)
    );
    const found = await axe.run(document, {
      runOnly: dark
        ? ["color-contrast"]
        : ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    });
    if (found.passes.length < (dark ? 1 : 5)) throw new Error("axe looked at nothing");
    return found.violations.map(
      (fault) => `${fault.impact} ${fault.id}: ${fault.nodes.map((node) => node.html).join(" ")}`,
    );
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

  test("titles and names are text, whatever is in them", () =>
    visit(pageOf("strip.json"), async (page) => {
      const words = NASTY.replace(/\s+/g, " ").trim();
      assert.equal(await page.title(), words);
      assert.equal(await page.locator("h1").textContent(), words);
      const names = new Set((await runs(page)).map(({ name }) => name));
      assert.ok(
        [...names].every((name) => strip().colours.some((colour) => colour.name === name)),
        [...names].join(),
      );
      assert.equal(await page.locator("img, main script").count(), 0);
      assert.equal(await page.locator("script").count(), 2);
    }));

  test("the policy lets nothing in and nothing out", async () => {
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
        document.addEventListener("securitypolicyviolation", (event) =>
          blocked.push(event.effectiveDirective),
        );
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
      assert.ok(
        failed.every((why) => why === "csp"),
        failed.join(),
      );
      assert.deepEqual(blocked, ["connect-src", "img-src", "script-src-elem", "style-src-elem"]);
    });
  });

  test("a part of the rows, and short keys", async () => {
    await visit(pageOf("tide.json", "--rows", "20..22", "--keys", "short"), async (page) => {
      const met = [];
      for (let time = 0; time < 4; time += 1) {
        met.push(
          [
            await step(page),
            ...(await runs(page)).map(({ count, name }) => `${count} ${name}`),
          ].join(" "),
        );
        await page.keyboard.press("ArrowRight");
      }
      const told = upbead("weave", "tide.json", "--rows", "20..22", "--keys", "short").match(
        /(?<=^ *\d+ [←→] \d+ +)\S.*?(?=  )/gm,
      );
      assert.deepEqual(
        met.map((row) => row.replace(/Row \d+ /, "")),
        [...(told ?? []).map((row) => row.replaceAll(",", "")), "Done"],
      );
    });
  });
});
