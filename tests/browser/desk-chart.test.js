// Charts that are opened and edited; their figures and problems.

import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, test } from "node:test";
import {
  beadAt,
  chartBeadByBead,
  desk,
  draw,
  DUSK,
  makeKittiwake,
  makeTide,
  middle,
  openChart,
  saved,
  sharedDesk,
  sit,
  take,
  text,
  TIN,
  touch,
  unfoldSettings,
  written,
} from "./desk-harness.js";
import { folder, upbead, words } from "./harness.js";

/** @import { Page } from "playwright-core" */

const open = sharedDesk(makeTide, makeKittiwake);

describe("charts", () => {
  test("a chart given on the command line is saved as the same bytes", async () => {
    const own = await desk("tide.json", "--palette", TIN);
    try {
      await sit(own, async (page) => {
        const file = await saved(page, () => page.click("#save-chart"));
        assert.equal(file.name, "tide.json");
        assert.equal(readFileSync(file.path, "utf8"), written("tide.json"));
      });
    } finally {
      await own.end();
    }
  });

  test("lines, fills, motifs, shifts, sizes, replaced colours: each can be undone", async () => {
    await sit(open, async (page) => {
      await openChart(page, "tide.json");
      /** @type {[string, () => Promise<void>][]} */
      const actions = [
        [
          "a line",
          async () => {
            await page.click("[data-tool=line]");
            await take(page, "gull white");
            await draw(page, [21, 1], [29, 9]);
          },
        ],
        [
          "pouring",
          async () => {
            await page.click("[data-tool=fill]");
            await take(page, "mackerel blue");
            await touch(page, 1, 1);
          },
        ],
        [
          "moving a motif",
          async () => {
            await page.click("[data-tool=motif]");
            await draw(page, [9, 3], [15, 7]);
            await draw(page, [11, 5], [41, 5]);
          },
        ],
        [
          "stamping a motif",
          async () => {
            await page.click("#motif-actions [data-action=copy]");
            await touch(page, 61, 5);
            await page.keyboard.press("Escape");
          },
        ],
        ["shifting round", () => inBandPanel(page, "#shift-up")],
        ["shifting across", () => inBandPanel(page, "#shift-right")],
        ["rows in", () => inBandPanel(page, "#rows-add")],
        ["rows out", () => inBandPanel(page, "#rows-remove")],
        ["columns in", () => inBandPanel(page, "#columns-add")],
        ["edges", () => inBandPanel(page, "#edges-add")],
        [
          "exchange",
          async () => {
            await take(page, "gull white");
            await page.selectOption("#replace-colour", { label: "sandbar" });
          },
        ],
      ];
      const texts = [await text(page)];
      for (const [name, action] of actions) {
        await action();
        const now = await text(page);
        assert.notEqual(now, texts.at(-1), name);
        writeFileSync(join(folder, "edited.json"), now);
        upbead("check", "edited.json", "--json");
        texts.push(now);
      }
      assert.ok(
        !JSON.parse(String(texts.at(-1)))
          .rows.flat()
          .includes(
            JSON.parse(String(texts.at(-1))).colours.findIndex(
              (/** @type {any} */ colour) => colour.name === "gull white",
            ),
          ),
      );
      for (const before_ of texts.slice(0, -1).reverse()) {
        await page.click("#undo");
        assert.equal(await text(page), before_);
      }
      assert.equal(
        await text(page),
        written("tide.json"),
        "all undone, it is the file again, byte for byte",
      );
      await page.click("[data-tool=pick]");
      await touch(page, 1, 5);
      assert.equal(await page.textContent("#current-name"), await beadAt(page, 1, 5));
    });
  });

  test("the follow-along page keeps its place and leads back to the design", async () => {
    await sit(open, async (page) => {
      await openChart(page, "tide.json");
      const step = page.frameLocator("#follow-frame").locator(".follow-step h2");
      await page.click("#weave-open");
      const first = await step.innerText();
      await page.frameLocator("#follow-frame").locator(".follow-next").click();
      const second = await step.innerText();
      assert.notEqual(second, first);
      await page.click("#follow-close");
      assert.equal(await page.evaluate(() => document.activeElement?.id), "weave-open");
      await page.click("#weave-open");
      assert.equal(await step.innerText(), second);
    });
  });

  test("the follow-along page in the desk has the settings of the saved one", async () => {
    await sit(open, async (page) => {
      await openChart(page, "tide.json");
      await page.click("#export");
      await unfoldSettings(page);
      for (const [option, value] of [
        ["start", "right"],
        ["from", "top"],
        ["keys", "short"],
        ["odd_turn", "figure-eight"],
      ]) {
        await page.selectOption(`[data-option=${option}]`, value);
      }
      await page.fill("[data-option=thread]", "0.2");
      await page.fill("[data-option=tail]", "250");
      await page.keyboard.press("Escape");
      await page.click("#weave-open");
      const frame = page.frameLocator("#follow-frame");
      await frame.locator(".follow-step h2").waitFor();
      const settings = "--start right --from top --keys short --odd-turn figure-eight";
      const call = words(`weave tide.json ${settings} --thread 0.2 --tail 250 --page -`);
      const wanted = /id="work">(.*?)<\/script>/s.exec(upbead(...call))?.[1];
      assert.equal(await frame.locator("#work").textContent(), wanted);
    });
  });

  test("notes and errors name fields of the page, no flags", async () => {
    await sit(
      open,
      async (page) => {
        await chartBeadByBead(page, DUSK);
        await page.locator("#notes", { hasText: "set “Swatch” under “Your gauge”" }).waitFor();
        await page.selectOption("#place", "repeat");
        await page.fill("#repeats", "400");
        const wrong = page.locator(".field-error:visible");
        await wrong.waitFor();
        const parts = ["label:has(.field-error)", "#notes", "#problems"].map((part) =>
          page.innerText(part),
        );
        const told = (await Promise.all(parts)).join(" ");
        assert.doesNotMatch(told, /--/);
        assert.ok(await page.locator("#error").isHidden());
        await page.fill("#repeats", "4");
        await wrong.waitFor({ state: "hidden" });
      },
      { refusals: [400, 422] },
    );
  });

  test("figures and problems are those of the program; a problem shows its beads", async () => {
    await sit(open, async (page) => {
      await openChart(page, "kittiwake.json");
      await page.locator("#figures", { hasText: /396[^]*Thread/ }).waitFor();
      const fit = JSON.parse(upbead("fit", "--size", "us7", "--columns", "11", "--json"));
      const row = fit.near.find((/** @type {any} */ near) => near.rows === 72);
      assert.match(
        await page.innerText("#figures"),
        new RegExp(`${row.diameter_mm.toFixed(2)} mm`),
      );
      const found = JSON.parse(
        upbead("check", "kittiwake.json", "--palette", TIN, "--json"),
      ).findings;
      assert.ok(found.length > 0);
      await page.locator(".problem").first().click();
      assert.equal(await page.locator(".problem").count(), found.length);
      const lit = await page.evaluate(() => {
        const { state, canvas, lattice } = /** @type {any} */ (window).upbeadDesk;
        return [...canvas.overlay.highlighted].map((bead) =>
          lattice.place(state.history.chart, bead),
        );
      });
      assert.deepEqual(lit, found[0].beads);
    });
  });
});

describe("without a mouse", () => {
  test("keyboard alone: colour, beads, line, motif, undo, save", async () => {
    await sit(open, async (page) => {
      const key = (/** @type {string[]} */ ...keys) =>
        keys.reduce((done, each) => done.then(() => page.keyboard.press(each)), Promise.resolve());
      for (let nth = 0; nth < 40; nth++) {
        if (await page.evaluate(() => document.activeElement?.id === "viewport")) break;
        await key("Tab");
      }
      assert.equal(
        await page.evaluate(() => document.activeElement?.id),
        "viewport",
        "Tab reaches the band",
      );
      await key("2");
      const name = await page.textContent("#current-name");
      await key("ArrowRight", "ArrowUp", "Space");
      assert.equal(await page.textContent("#announcement"), `1 bead of ${name}`);
      await key("l", "Space", "Control+ArrowUp", "ArrowRight", "Space");
      const line = await page.textContent("#announcement");
      assert.match(String(line), /^\d+ beads of /);
      await key(
        ...words("o Space ArrowUp ArrowUp ArrowRight Space c"),
        ...words("Control+ArrowUp Control+ArrowUp Control+ArrowUp Space"),
      );
      assert.equal(await page.textContent("#announcement"), "Copy of the motif placed");
      await key("Escape", "Control+z", "Control+z");
      assert.equal(await page.textContent("#announcement"), `Undone: ${line}`);
      await key("?");
      await page.locator("#shortcuts[open]").waitFor();
      await key("Escape");
      await page.locator("#shortcuts:not([open])").waitFor({ state: "attached" });
      const file = await saved(page, () => page.keyboard.press("Control+s"));
      writeFileSync(join(folder, "keys.json"), readFileSync(file.path));
      upbead("show", "keys.json");
    });
  });

  test("one finger sets beads; two fingers scroll and set none", async () => {
    await sit(
      open,
      async (page) => {
        await page.evaluate(() => /** @type {any} */ (window).upbeadDesk.canvas.setZoom(24));
        const at = await middle(page, 31, 3);
        await take(page, "brass");
        await page.touchscreen.tap(at.x, at.y);
        assert.equal(await beadAt(page, 31, 3), "brass");
        const before_ = await text(page);
        const from = await page.evaluate(() => document.getElementById("viewport")?.scrollTop);
        await page.evaluate(({ x, y }) => {
          const band = /** @type {HTMLElement} */ (document.getElementById("band"));
          const finger = (
            /** @type {string} */ kind,
            /** @type {number} */ id,
            /** @type {number} */ down,
          ) =>
            band.dispatchEvent(
              new PointerEvent(kind, {
                pointerId: id,
                pointerType: "touch",
                clientX: x + id * 30,
                clientY: y + down,
                bubbles: true,
                isPrimary: id === 7,
                button: kind === "pointermove" ? -1 : 0,
                buttons: 1,
              }),
            );
          finger("pointerdown", 7, 0);
          finger("pointerdown", 8, 0);
          for (let down = 0; down > -80; down -= 10)
            for (const id of [7, 8]) finger("pointermove", id, down);
          finger("pointerup", 7, -80);
          finger("pointerup", 8, -80);
        }, at);
        assert.equal(await text(page), before_);
        assert.notEqual(
          await page.evaluate(() => document.getElementById("viewport")?.scrollTop),
          from,
        );
      },
      { hasTouch: true, viewport: { width: 820, height: 1180 } },
    );
  });
});

/** Clicks a button in the popover for the whole band. @param {Page} page @param {string} button */
async function inBandPanel(page, button) {
  await page.click("#band-panel-open");
  await page.click(button);
  await page.keyboard.press("Escape");
}
