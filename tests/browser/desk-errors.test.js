// What goes wrong is reported, and nothing is lost.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { describe, test } from "node:test";
import {
  beadAt,
  chartBeadByBead,
  desk,
  drop,
  DUSK,
  KEPT,
  makeTide,
  openChart,
  ready,
  sample,
  saved,
  says,
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

const open = sharedDesk(makeTide);

describe("when something is wrong", () => {
  test("bad pictures, palettes, charts and huge files are reported; nothing is lost", async () => {
    await sit(
      open,
      async (page) => {
        await openChart(page, "tide.json");
        await touch(page, 5, 3);
        const work = await text(page);
        await drop(
          page,
          "torn.png",
          readFileSync(sample("samples/kittiwake.png")).subarray(0, 200),
        );
        await says(page, "torn.png");
        await drop(
          page,
          "colours.csv",
          Buffer.from("code,name,hex\nquay-01,gull white,FAFAF6\nquay-02,kelp,kelp\n"),
        );
        await says(page, "'kelp' is not a colour");
        await says(page, "colours.csv:3:");
        await drop(
          page,
          "band.json",
          Buffer.from(written("tide.json").replace('"columns": 9', '"columns": 8')),
        );
        await says(page, "band.json");
        await page.evaluate(() => {
          const data = new DataTransfer();
          data.items.add(new File([new Uint8Array(65 << 20)], "sea.png"));
          document
            .getElementById("workspace")
            ?.dispatchEvent(
              new DragEvent("drop", { dataTransfer: data, bubbles: true, cancelable: true }),
            );
        });
        await says(page, "sea.png has 68 MB");
        await page.click("#error-close");
        await page.locator("#error").waitFor({ state: "hidden" });
        await page.selectOption("#length-by", "size");
        await page.fill("#size", "seven");
        await page.keyboard.press("Tab");
        await says(page, "seven");
        assert.equal(await text(page), work);
      },
      { refusals: [400, 413, 422] },
    );
  });

  test("a server that stops is reported; drawing and saving go on; nothing is lost", async () => {
    const port = String(20000 + (process.pid % 20000));
    const first = await desk("--palette", TIN, "--port", port);
    await sit(
      first,
      async (page) => {
        await take(page, "brass");
        await touch(page, 9, 3);
        await still(page);
        await first.end();
        await touch(page, 11, 3);
        await page
          .locator("#lost:visible", { hasText: "Your work is kept in this browser" })
          .waitFor();
        await touch(page, 13, 3);
        const work = await text(page);
        const file = await saved(page, () => page.click("#save-chart"));
        assert.equal(readFileSync(file.path, "utf8"), work);
        await touch(page, 15, 3);
        const last = await text(page);
        await page.waitForTimeout(600);
        const second = await desk("--palette", TIN, "--port", port);
        try {
          await page.goto(second.address);
          await ready(page);
          assert.equal(await text(page), last, "the next server's page opens the unsaved work");
        } finally {
          await second.end();
        }
      },
      { lost: true, refusals: [404] },
    );
  });

  test("a reload keeps unsaved work, its picture and its history", async () => {
    await sit(open, async (page) => {
      await chartBeadByBead(page, DUSK);
      await still(page);
      const charted = await text(page);
      await touch(page, 9, 3);
      const work = await text(page);
      await page.waitForTimeout(500);
      await page.reload();
      await ready(page);
      assert.equal(await text(page), work);
      await stateSays(page, KEPT);
      await page.locator("#picture-image:visible").waitFor();
      await page.click("#undo");
      assert.equal(await text(page), charted);
      await page.fill("#columns", "7");
      await still(page);
      assert.equal(
        JSON.parse(await text(page)).columns,
        7,
        "the picture is still there to be charted",
      );
    });
  });

  test("a browser that refuses to store is reported; everything else works", async () => {
    await sit(
      open,
      async (page) => {
        await says(page, "refuses to store unsaved work");
        await page.click("#error-close");
        await take(page, "brass");
        await touch(page, 9, 3);
        assert.equal(await beadAt(page, 9, 3), "brass");
        assert.equal(await page.textContent("#save-state"), "not saved");
        await saved(page, () => page.click("#save-chart"));
        assert.equal(await page.textContent("#save-state"), "saved");
      },
      {
        before: () => {
          IDBFactory.prototype.open = () => {
            throw new DOMException("no", "SecurityError");
          };
          for (const name of ["localStorage", "sessionStorage"]) {
            Object.defineProperty(window, name, {
              get() {
                throw new DOMException("no", "SecurityError");
              },
            });
          }
        },
      },
    );
  });

  test("pictures and palettes that the server has dropped are sent again", async () => {
    await sit(
      open,
      async (page) => {
        await chartBeadByBead(page, DUSK);
        await still(page);
        // Four more pictures push the first one out.
        await page.evaluate(async () => {
          for (const fill of ["red", "green", "blue", "gold", "navy"]) {
            await fetch("picture?name=other.svg", {
              method: "POST",
              body:
                '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9">' +
                `<rect width="9" height="9" fill="${fill}"/></svg>`,
            });
          }
        });
        await page.fill("#columns", "15");
        await still(page);
        assert.equal(JSON.parse(await text(page)).columns, 15);
      },
      { refusals: [410] },
    );
  });
});
