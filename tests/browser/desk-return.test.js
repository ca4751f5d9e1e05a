// Steps back, prints seen before they are printed, long work, phones.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { describe, test } from "node:test";
import {
  beadAt,
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
} from "./desk-harness.js";
import { upbead } from "./harness.js";

/** @import { Page } from "playwright-core" */

const open = sharedDesk(makeTide);

describe("steps", () => {
  test("are listed, and one press goes back to any of them and forward again", async () => {
    await sit(open, async (page) => {
      await openChart(page, "tide.json");
      const states = [await text(page)];
      await take(page, "brass");
      for (const row of [5, 7, 9]) {
        await touch(page, row, 3);
        states.push(await text(page));
      }
      await page.click("#steps-open");
      const steps = page.locator("#steps-list button");
      assert.deepEqual(await steps.allTextContents(), [
        "1 bead of brass",
        "1 bead of brass",
        "1 bead of brass",
        "As it was opened",
      ]);
      for (const [nth, count] of [
        [2, 1],
        [0, 3],
        [3, 0],
        [1, 2],
      ]) {
        await steps.nth(nth).click();
        assert.equal(await text(page), states[count], `${count} steps`);
        assert.equal(await steps.nth(nth).getAttribute("aria-current"), "step");
        assert.equal(await page.locator("#steps-list .undone").count(), 3 - count);
      }
      // A new step takes the place of those that were undone.
      await page.keyboard.press("Escape");
      await touch(page, 11, 3);
      await page.click("#steps-open");
      assert.equal(await steps.count(), 4);
      assert.equal(await page.locator("#steps-list .undone").count(), 0);
    });
  });

  test("go back over an opened chart to its file and its name", async () => {
    await sit(open, async (page) => {
      await touch(page, 5, 3);
      const plain = await text(page);
      await openChart(page, "tide.json");
      await touch(page, 9, 3);
      await page.click("#steps-open");
      await page.locator("#steps-list button", { hasText: "As it was opened" }).waitFor();
      await page.locator("#steps-list button").nth(2).click();
      assert.equal(await text(page), plain);
      assert.equal(await fileOf(page), "");
      await page.locator("#steps-list button").nth(0).click();
      assert.equal(await fileOf(page), "tide.json");
      assert.equal(await page.inputValue("#rows"), "72");
    });
  });
});

describe("print and share", () => {
  test("each kind of file stands in a group with its settings", async () => {
    await sit(open, async (page) => {
      await page.click("#export");
      const groups = await page.locator(".export-group").evaluateAll((all) =>
        all.map((group) => ({
          kinds: [...group.querySelectorAll("[data-exports] [data-kind]")].map(
            (each) => each instanceof HTMLElement && each.dataset.kind,
          ),
          settings: group.querySelector("summary")?.textContent,
        })),
      );
      assert.deepEqual(groups, [
        { kinds: ["pdf"], settings: "Printed pattern" },
        { kinds: ["page", "rows"], settings: "Rows" },
        { kinds: ["kit-text", "kit-csv"], settings: "Kit and thread" },
        { kinds: ["png", "svg", "beads", "seen"], settings: "Flat charts" },
        { kinds: ["ring", "turntable"], settings: "Ring pictures" },
        { kinds: ["sizes"], settings: "Other sizes" },
        { kinds: ["chart", "check"], settings: "For other programs" },
      ]);
    });
  });

  test("the printed pattern is seen before it is saved, the same bytes", async () => {
    await sit(
      open,
      async (page) => {
        await openChart(page, "tide.json");
        await page.click("#export");
        await page.click("#preview-open");
        await page.locator("#preview[open]").waitFor({ timeout: 60000 });
        assert.ok(await page.locator("#preview-frame").isVisible());
        const shown = await page.evaluate(async () => {
          const frame = /** @type {HTMLIFrameElement} */ (document.getElementById("preview-frame"));
          const bytes = new Uint8Array(await (await fetch(frame.src.split("#")[0])).arrayBuffer());
          return Array.from(bytes);
        });
        const file = await saved(page, () => page.click("#preview-save"));
        assert.equal(file.name, "tide.pdf");
        upbead("print", "tide.json", "--palette", TIN, "-o", "tide.pdf", "--force");
        const pdf = readFileSync(file.path);
        assert.ok(pdf.equals(Buffer.from(shown)), "what is shown is what is saved");
        assert.equal(pdf.subarray(0, 5).toString(), "%PDF-");
        await page.click("#preview-close");
        assert.equal(await page.locator("#preview-frame").getAttribute("src"), null);
      },
      // The pages of the frame are the browser's own affair, which this one does not have.
      { bypassCSP: true, before: showPages },
    );
  });

  test("a browser that shows no PDF says so, and saves", async () => {
    await sit(open, async (page) => {
      await openChart(page, "tide.json");
      await page.click("#export");
      await page.click("#preview-open");
      await page.locator("#preview-none:visible").waitFor({ timeout: 60000 });
      assert.ok(await page.locator("#preview-frame").isHidden());
      const file = await saved(page, () => page.click("#preview-save"));
      assert.equal(readFileSync(file.path).subarray(0, 5).toString(), "%PDF-");
    });
  });

  test("what takes longer than a second is shown, and can be stopped", async () => {
    await sit(open, async (page) => {
      await page.route(/\/export\?/, async (route) => {
        await new Promise((done) => setTimeout(done, 2600));
        await route.continue().catch(() => undefined);
      });
      await page.click("#export");
      await page.getByRole("button", { name: "Kit list" }).click();
      await page.waitForTimeout(400);
      assert.ok(await page.locator("#progress").isHidden(), "not spoken of at once");
      await page.locator("#progress-text", { hasText: "Making band-kit.txt … 1 s" }).waitFor();
      await page.click("#progress-stop");
      await page.locator("#announcement", { hasText: "was not made" }).waitFor();
      await page.locator("#progress").waitFor({ state: "hidden" });
      await page.click("#export");
      const file = await saved(page, () => page.getByRole("button", { name: "Kit list" }).click());
      assert.equal(file.name, "band-kit.txt");
      await page.locator("#progress").waitFor({ state: "hidden" });
    });
  });

  test("weaving says how the page goes to a phone, and saves it as one file", async () => {
    await sit(open, async (page) => {
      await openChart(page, "tide.json");
      await page.click("#weave-open");
      await page.click("#take-open");
      await page.locator("#take-panel", { hasText: "works without a network" }).waitFor();
      const file = await saved(page, () => page.click("#take-save"));
      upbead("weave", "tide.json", "--page", "take.html", "--force");
      assert.equal(file.name, "tide.html");
      const html = readFileSync(file.path, "utf8");
      assert.doesNotMatch(html, /(src|href)="(https?:|\/)/, "it is one file");
      assert.ok(await page.locator("#follow").isVisible());
    });
  });
});

describe("a phone", () => {
  const PHONE = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true };

  test("scrolls with one finger, and draws with it only when asked to", async () => {
    await sit(
      open,
      async (page) => {
        await take(page, "brass");
        const at = await middle(page, 31, 3);
        await page.touchscreen.tap(at.x, at.y);
        assert.notEqual(await beadAt(page, 31, 3), "brass", "a tap sets nothing");
        const action = () =>
          page.evaluate(
            () =>
              getComputedStyle(/** @type {Element} */ (document.getElementById("band")))
                .touchAction,
          );
        assert.equal(await action(), "pan-x pan-y");
        await page.click("#touch-draw");
        assert.equal(await action(), "none");
        const there = await middle(page, 31, 3);
        await page.touchscreen.tap(there.x, there.y);
        assert.equal(await beadAt(page, 31, 3), "brass");
        await page.click("#touch-scroll");
        await page.touchscreen.tap(there.x, there.y + 12);
        const beads = await page.evaluate(() => {
          const { chart } = /** @type {any} */ (window).upbeadDesk.state.history;
          const brass = chart.colours.findIndex((/** @type {any} */ { name }) => name === "brass");
          return chart.beads.filter((/** @type {number} */ colour) => colour === brass).length;
        });
        assert.equal(beads, 1);
      },
      PHONE,
    );
  });

  test("has the picture and its wishes below the band, before the figures", async () => {
    await sit(
      open,
      async (page) => {
        const top = async (/** @type {string} */ id) =>
          (await page.locator(id).boundingBox())?.y ?? 0;
        assert.ok((await top("#source-panel")) < (await top("#info-panel")));
        // The choice of what a finger does is in sight together with the band.
        const mode = await page.locator("#touch-mode").boundingBox();
        assert.ok(mode && mode.y + mode.height < 844 && mode.height >= 44);
      },
      PHONE,
    );
  });
});

/** @param {Page} page */
function fileOf(page) {
  return page.evaluate(() => /** @type {any} */ (window).upbeadDesk.state.file);
}

/** The browser says that it shows pages, and leaves them out of its frames. */
function showPages() {
  Object.defineProperty(Navigator.prototype, "pdfViewerEnabled", { get: () => true });
  const address = Object.getOwnPropertyDescriptor(HTMLIFrameElement.prototype, "src");
  Object.defineProperty(HTMLIFrameElement.prototype, "src", {
    get() {
      return this.dataset.address ?? address?.get?.call(this);
    },
    set(value) {
      this.dataset.address = value;
    },
  });
}
