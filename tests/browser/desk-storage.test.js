// Work that the browser stores.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { describe, test } from "node:test";
import {
  beside,
  chartBeadByBead,
  desk,
  drop,
  DUSK,
  KEPT,
  makeKittiwake,
  makeTide,
  openChart,
  ready,
  sample,
  saved,
  sharedDesk,
  sit,
  stateSays,
  still,
  take,
  text,
  TIN,
  touch,
  written,
} from "./desk-harness.js";

/** @import { Page } from "playwright-core" */

const open = sharedDesk(makeTide, makeKittiwake);

describe("stored work", () => {
  test("a bead set just before the page is closed is stored", async () => {
    await sit(open, async (page) => {
      for (const row of [5, 7, 9, 11, 13]) {
        await take(page, row % 4 === 1 ? "brass" : "samphire");
        await touch(page, row, 3);
        const work = await text(page);
        await page.reload();
        await ready(page);
        assert.equal(await text(page), work, `row ${row}`);
      }
    });
  });

  test("drawing without a pause is stored meanwhile, and called stored only after", async () => {
    await sit(open, async (page) => {
      assert.equal(await page.textContent("#save-state"), "no changes");
      const set = (/** @type {number} */ bead) =>
        page.evaluate((bead) => {
          const { state, run, edits } = /** @type {any} */ (window).upbeadDesk;
          const colour = { code: "tide-1", name: "tide", hex: "204060" };
          run(edits.colourBeads(state.history.chart, [bead], colour), `bead ${bead}`);
          return document.getElementById("save-state")?.textContent;
        }, bead);
      // Bead after bead, until thirty are stored.
      let beads = 0;
      for (let stored = 0; stored < 30;) {
        assert.ok(beads < 300, `${stored} of ${beads} edits stored while drawing`);
        assert.equal(await set(beads++), "storing …", "no bead is called stored when it is set");
        stored = Math.max(0, ...(await page.evaluate(storedEdits)));
      }
      await stateSays(page, KEPT);
      assert.deepEqual(await page.evaluate(storedEdits), [beads]);
    });
  });

  test("stored work of another file is opened without losing the open chart", async () => {
    const port = String(7001 + (process.pid % 2900));
    let at = await desk("--palette", TIN, "--port", port, "tide.json");
    await sit(
      at,
      async (page) => {
        await touch(page, 5, 3);
        const tide = await text(page);
        await stateSays(page, KEPT);
        await at.end();
        at = await desk("--palette", TIN, "--port", port, "kittiwake.json");
        await page.goto(at.address);
        await ready(page);
        await page.locator("#recovery:visible", { hasText: "tide.json" }).waitFor();
        await touch(page, 6, 4);
        const kittiwake = await text(page);
        assert.notEqual(kittiwake, written("kittiwake.json"));
        await page.click("#recovery-open");
        await page.locator("#recovery:visible", { hasText: "kittiwake.json" }).waitFor();
        assert.equal(await text(page), tide);
        await page.click("#recovery-open");
        await page.locator("#recovery:visible", { hasText: "tide.json" }).waitFor();
        assert.equal(await text(page), kittiwake, "the open work was stored in its turn");
        await page.click("#recovery-open");
        await page.locator("#recovery:visible", { hasText: "kittiwake.json" }).waitFor();
        const file = await saved(page, () => page.click("#save-chart"));
        assert.deepEqual([file.name, readFileSync(file.path, "utf8")], ["tide.json", tide]);
        await page.locator("#save-state", { hasText: /^saved$/ }).waitFor();
        await page.reload();
        await ready(page);
        assert.equal(await text(page), kittiwake);
        assert.equal(
          await page.locator("#recovery").isHidden(),
          true,
          "what is saved is not offered",
        );
      },
      // The old page may ask the new server before it is left.
      { lost: true, refusals: [404] },
    ).finally(() => at.end());
  });

  test("charting under way does not replace a chart that was opened meanwhile", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, DUSK);
      await still(page);
      await slowly(page, /\/chart\?/, 700);
      await page.fill("#columns", "7");
      await page.waitForTimeout(100);
      await openChart(page, "tide.json");
      await page.waitForTimeout(1000);
      assert.equal(await text(page), written("tide.json"));

      await chartBeadByBead(page, DUSK);
      await page.locator("#picture-remove:visible").waitFor();
      await page.waitForTimeout(100);
      await page.click("#picture-remove");
      await page.waitForTimeout(1000);
      assert.equal(
        await text(page),
        written("tide.json"),
        "the chart stays when the picture is removed",
      );
      assert.equal(await page.locator("#workspace.busy").count(), 0);
    });
  });

  test("a desk restarted at the same port: the old tab hands its work to the new one", async () => {
    const port = String(10001 + (process.pid % 2900));
    const first = await desk("--palette", TIN, "--port", port);
    await sit(
      first,
      async (page) => {
        await touch(page, 5, 3);
        await stateSays(page, KEPT);
        const work = await text(page);
        await first.end();
        const second = await desk("--palette", TIN, "--port", port);
        try {
          const other = await beside(page, second.address);
          assert.equal(await text(other), work);
          await page.locator("#lost-restarted:visible", { hasText: "in another tab" }).waitFor();
          await touch(page, 7, 3);
          await touch(page, 9, 3);
          await stateSays(page, KEPT);
          await page.waitForTimeout(400);
          assert.equal(await page.locator("#error").isHidden(), true);
          assert.ok(await page.locator("#lost-restarted").isVisible());
          await touch(other, 11, 3);
          const further = await text(other);
          await stateSays(other, KEPT);
          await other.reload();
          await ready(other);
          assert.equal(
            await text(other),
            further,
            "the old tab does not overwrite the new one's work",
          );
          const late = await text(page);
          await page.close();
          const third = await beside(other, second.address);
          assert.equal(await text(third), late, "what was drawn in the old tab is found too");
        } finally {
          await second.end();
        }
      },
      { lost: true, refusals: [404] },
    );
  });

  test("an old tab that finds another server at its address hands its work over", async () => {
    const port = String(13001 + (process.pid % 2900));
    const first = await desk("--palette", TIN, "--port", port);
    await sit(
      first,
      async (page) => {
        // The first request after the end is to be the one of the bead that is set.
        await page.waitForLoadState("networkidle");
        await still(page);
        await first.end();
        const second = await desk("--palette", TIN, "--port", port);
        try {
          await touch(page, 5, 3);
          await page.locator("#lost-restarted:visible").waitFor();
          await stateSays(page, KEPT);
          assert.equal(await page.locator("#error").isHidden(), true);
          const other = await beside(page, second.address);
          assert.equal(await text(other), await text(page));
        } finally {
          await second.end();
        }
      },
      { lost: true, refusals: [404] },
    );
  });

  test("work that an old tab releases late is offered with its picture", async () => {
    const port = String(16001 + (process.pid % 2900));
    const first = await desk("--palette", TIN, "--port", port);
    await sit(
      first,
      async (page) => {
        await chartBeadByBead(page, DUSK);
        await still(page);
        await touch(page, 5, 3);
        await stateSays(page, KEPT);
        const work = await text(page);
        // It sends no more requests, so that it does not find out by itself.
        await page.waitForTimeout(900);
        await first.end();
        const second = await desk("--palette", TIN, "--port", port);
        try {
          const other = await beside(page, second.address);
          assert.notEqual(await text(other), work);
          await other.locator("#recovery:visible").waitFor();
          await other.click("#recovery-open");
          await other.locator("#picture-image:visible").waitFor();
          assert.equal(await text(other), work);
          assert.equal(
            await other.locator("#recovery").isHidden(),
            true,
            "nothing was drawn on the band that was open",
          );
        } finally {
          await second.end();
        }
      },
      {
        lost: true,
        refusals: [404],
        before: () => {
          // The tabs hear from each other later than they wait.
          const add = BroadcastChannel.prototype.addEventListener;
          BroadcastChannel.prototype.addEventListener = function (
            /** @type {string} */ kind,
            /** @type {any} */ hear,
          ) {
            add.call(this, kind, (event) => setTimeout(hear, 900, event));
          };
        },
      },
    );
  });

  test("undoing an opened chart brings back the name of the file", async () => {
    await sit(open, async (page) => {
      await openChart(page, "tide.json");
      await touch(page, 5, 3);
      const tide = await text(page);
      await openChart(page, "kittiwake.json");
      await page.click("#undo");
      const file = await saved(page, () => page.click("#save-chart"));
      assert.deepEqual([file.name, readFileSync(file.path, "utf8")], ["tide.json", tide]);
      await page.click("#redo");
      const next = await saved(page, () => page.click("#save-chart"));
      assert.equal(next.name, "kittiwake.json");
    });
  });

  test("the view from a distance goes when it is no longer wanted", async () => {
    await sit(open, async (page) => {
      await slowly(page, /\/seen\?/, 500);
      const choose = (/** @type {number} */ nth) =>
        page.locator("#viewing-distance").selectOption({ index: nth });
      await choose(1);
      await page.waitForTimeout(100);
      await choose(0);
      await page.waitForTimeout(900);
      assert.deepEqual(
        [
          await page.locator("#distance-image").isHidden(),
          await page.locator("#true-band").isVisible(),
        ],
        [true, true],
      );
      await choose(1);
      await page.locator("#distance-image:visible").waitFor();
    });
  });

  test("a long name is cut between characters", async () => {
    await sit(open, async (page) => {
      // U+20BB7 has two halves in UTF-16.
      const name = `${"a".repeat(59)}\u{20BB7}\u{20BB7}`;
      await page.fill("#title", name);
      await page.locator("#title").press("Enter");
      const file = await saved(page, () => page.click("#save-chart"));
      assert.equal(file.name, `${"a".repeat(59)}\u{20BB7}.json`);
      await page.click("#chart-picture");
      await still(page);
      assert.equal(await page.locator("#error").isHidden(), true);
    });
  });

  test("of two pictures dropped one after the other the newer stays", async () => {
    await sit(open, async (page) => {
      await slowly(page, /\/picture\?/, 800, 0);
      await drop(page, "first.jpg", readFileSync(DUSK));
      await drop(page, "second.png", readFileSync(sample("samples/kittiwake.png")));
      await page.waitForTimeout(1500);
      await still(page);
      assert.equal(
        await page.evaluate(() => /** @type {any} */ (window).upbeadDesk.state.picture.name),
        "second.png",
      );
      assert.match(JSON.parse(await text(page)).made.source, /second\.png/);
    });
  });
});

/**
 * How many edits the browser has stored with each piece of work. Runs in the page.
 * @returns {Promise<number[]>}
 */
function storedEdits() {
  return new Promise((done) => {
    const request = indexedDB.open("upbead-desk");
    request.onsuccess = () => {
      const all = request.result.transaction("slots").objectStore("slots").getAll();
      all.onsuccess = () => {
        request.result.close();
        done(all.result.map((slot) => slot.work.done.length));
      };
    };
  });
}

/**
 * Delays the answers from an address.
 * @param {Page} page
 * @param {RegExp} at
 * @param {number[]} waits in milliseconds for one request after the other; the last holds for all
 *   that follow
 */
async function slowly(page, at, ...waits) {
  await page.route(at, async (route) => {
    const wait = waits.length > 1 ? waits.shift() : waits[0];
    const response = await route.fetch().catch(() => null);
    await new Promise((done) => setTimeout(done, wait));
    await (response ? route.fulfill({ response }) : route.abort()).catch(() => undefined);
  });
}
