// The desk in a real browser, served by the real program.

import assert from "node:assert/strict";
import { readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { after, before, describe, test } from "node:test";
import { beadAt, beside, desk, draw, drop, give, middle, ready, sample, saved, sit, still, take, text, touch } from "./desk-harness.js";
import { closed, folder, upbead } from "./harness.js";

/** @import { Page } from "playwright-core" */
/** @import { Open } from "./desk-harness.js" */

const AXE = createRequire(import.meta.url).resolve("axe-core/axe.min.js");
const TIN = sample("palettes/tin.csv");
const DUSK = sample("samples/harbour-dusk.jpg");

/** @type {Open} */
let open;

before(async () => {
  open = await desk("--palette", TIN);
  upbead(
    "chart",
    sample("samples/kittiwake.png"),
    "--palette",
    TIN,
    "--columns",
    "11",
    "--size",
    "us7",
    "--place",
    "motif",
    "--ground",
    "quay-58",
    "--colours",
    "5",
    "--crisp",
    "1",
    "-o",
    "kittiwake.json",
  );
  upbead(
    "chart",
    sample("samples/tide-line.png"),
    "--palette",
    TIN,
    "--rows",
    "72",
    "--place",
    "repeat:4",
    "--mirror",
    "columns",
    "--colours",
    "5",
    "-o",
    "tide.json",
  );
});
after(async () => {
  await open.end();
  await closed();
});

/** @param {Page} page @param {string} words */
async function says(page, words) {
  await page.locator("#fault:visible", { hasText: words }).waitFor();
}

/** The bytes that the command line writes. @param {string} name */
function written(name) {
  return readFileSync(join(folder, name), "utf8");
}

describe("from a picture to a chart", () => {
  test("choosing a picture, drawing with a mirror, undoing, saving", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", DUSK);
      await page.fill("#colours", "6");
      await page.selectOption("#dither", "diffuse");
      await page.check("#mirror-columns");
      await still(page);
      upbead(
        "chart",
        DUSK,
        "--palette",
        TIN,
        "--columns",
        "9",
        "--size",
        "us7",
        "--colours",
        "6",
        "--dither",
        "diffuse",
        "--mirror",
        "columns",
        "-o",
        "dusk.json",
        "--force",
      );
      const first = await saved(page, () => page.click("#save-chart"));
      assert.equal(readFileSync(first.path, "utf8"), written("dusk.json"), "the very bytes of the command line");
      assert.equal(await page.textContent("#state"), "saved");

      await page.click("#alike-columns");
      await page.click("#drawer-open");
      await page
        .getByRole("button", { name: /^samphire/ })
        .last()
        .click();
      await touch(page, 20, 2);
      assert.deepEqual([await beadAt(page, 20, 2), await beadAt(page, 20, 8)], ["samphire", "samphire"]);
      const one = await text(page);
      await draw(page, [31, 5], [39, 5]);
      for (const row of [31, 33, 35, 37, 39]) assert.equal(await beadAt(page, row, 5), "samphire", "the centre column is its own mirror");
      await stateSays(page, KEPT);
      await page.keyboard.press("Control+z");
      assert.equal(await text(page), one);
      await page.keyboard.press("Control+Shift+z");
      assert.equal(await beadAt(page, 35, 5), "samphire");
      await page.fill("#title", "Harbour dusk, mended");
      await page.keyboard.press("Tab");
      const second = await saved(page, () => page.keyboard.press("Control+s"));
      const chart = JSON.parse(readFileSync(second.path, "utf8"));
      assert.deepEqual([chart.title, chart.made.options.mended, chart.rows[34][2]], ["Harbour dusk, mended", "by hand", chart.colours.length - 1]);
      writeFileSync(join(folder, "mended.json"), readFileSync(second.path));
      assert.match(upbead("show", "mended.json"), /samphire/);
      upbead("check", "mended.json", "--json");
    });
  });

  test("a picture is dropped, cropped by dragging on it, placed as a motif", async () => {
    await sit(open, async (page) => {
      await drop(page, "kittiwake.png", readFileSync(sample("samples/kittiwake.png")));
      await page.locator("#picture-box:visible").waitFor();
      await page.selectOption("#place", "motif");
      await page.selectOption("#ground", "quay-58");
      await page.fill("#columns", "11");
      await page.fill("#colours", "5");
      await still(page);
      assert.equal(await text(page), written("kittiwake.json"));
      await page.locator("#picture-image").scrollIntoViewIfNeeded();
      const box = await page.locator("#picture-image").boundingBox();
      assert.ok(box);
      await page.mouse.move(box.x + box.width * 0.25, box.y + box.height * 0.25);
      await page.mouse.down();
      await page.mouse.move(box.x + box.width * 0.75, box.y + box.height * 0.7, { steps: 4 });
      await page.mouse.up();
      await still(page);
      const crop = JSON.parse(await text(page)).made.options.crop;
      assert.match(crop, /^\d+,\d+,\d+,\d+$/);
      upbead(
        "chart",
        sample("samples/kittiwake.png"),
        "--palette",
        TIN,
        "--columns",
        "11",
        "--size",
        "us7",
        "--place",
        "motif",
        "--ground",
        "quay-58",
        "--colours",
        "5",
        "--crisp",
        "1",
        "--crop",
        crop,
        "-o",
        "part.json",
      );
      assert.equal(await text(page), written("part.json"));
      await page.click("#crop-all");
      await still(page);
      assert.equal(await text(page), written("kittiwake.json"));
    });
  });

  test("only the newest change counts, however fast they come", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", DUSK);
      for (const columns of [15, 7, 21, 11, 5, 19, 13]) await page.fill("#columns", String(columns));
      await still(page);
      assert.equal(JSON.parse(await text(page)).columns, 13);
      await page.click("#undo");
      assert.equal(JSON.parse(await text(page)).made.source, "", "one step back is the plain band, not each figure typed");
    });
  });

  test("a name given and a bead set while the picture is being charted stay", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", DUSK);
      await still(page);
      await page.evaluate(() => {
        const { desk } = /** @type {any} */ (window).upbeadDesk;
        const field = (/** @type {string} */ id, /** @type {string} */ value, /** @type {string} */ kind) => {
          const found = /** @type {HTMLInputElement} */ (document.getElementById(id));
          found.value = value;
          found.dispatchEvent(new Event(kind, { bubbles: true }));
        };
        field("columns", "11", "input");
        field("title", "Evening", "change");
        if (desk.history.chart.title !== "Evening") throw new Error("the name is not taken");
      });
      await still(page);
      const charted = JSON.parse(await text(page));
      assert.deepEqual([charted.columns, charted.title], [11, "Evening"]);
      await page.evaluate(() => {
        const { hands } = /** @type {any} */ (window).upbeadDesk;
        const found = /** @type {HTMLInputElement} */ (document.getElementById("columns"));
        found.value = "13";
        found.dispatchEvent(new Event("input", { bubbles: true }));
        setTimeout(() => hands.set([3]), 20);
      });
      await page.waitForTimeout(1500);
      const kept = JSON.parse(await text(page));
      assert.deepEqual([kept.columns, kept.made.options.mended], [11, "by hand"]);
    });
  });

  test("colours kept in, left out and not in stock are respected", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", DUSK);
      await still(page);
      await take(page, "coral");
      await page.click("#hand-ban");
      await page.click("#drawer-open");
      await page.getByRole("radio", { name: "keeps it in" }).check();
      await page
        .getByRole("button", { name: /^samphire/ })
        .last()
        .click();
      await page.getByRole("radio", { name: "ticks it owned" }).check();
      await page
        .getByRole("button", { name: /^jersey navy/ })
        .last()
        .click();
      await page.keyboard.press("Escape");
      await still(page);
      const { keep, without } = JSON.parse(await text(page)).made.options;
      assert.deepEqual([keep, without], ["quay-53", "quay-29,quay-58"]);
    });
  });

  test("charting again asks first if beads were changed by hand", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", DUSK);
      await still(page);
      await touch(page, 9, 3);
      const mended = await text(page);
      await page.fill("#columns", "11");
      await page.locator("#mended-note:visible").waitFor();
      await page.waitForTimeout(300);
      assert.equal(await text(page), mended);
      await page.click("#remake");
      await still(page);
      assert.equal(JSON.parse(await text(page)).columns, 11);
      await page.click("#undo");
      assert.equal(await text(page), mended);
    });
  });
});

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

  test("lines, pouring, taking, motifs, shifts, rows and columns, exchange, each undone", async () => {
    await sit(open, async (page) => {
      await give(page, "#open-chart", join(folder, "tide.json"));
      await page.waitForFunction(() => /** @type {any} */ (window).upbeadDesk.desk.file === "tide.json");
      /** @type {[string, () => Promise<void>][]} */
      const deeds = [
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
            await page.click("[data-tool=pour]");
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
            await page.click("#motif-acts [data-act=copy]");
            await touch(page, 61, 5);
            await page.keyboard.press("Escape");
          },
        ],
        ["shifting round", () => open_(page, "#shift-up")],
        ["shifting across", () => open_(page, "#shift-right")],
        ["rows in", () => open_(page, "#rows-in")],
        ["rows out", () => open_(page, "#rows-out")],
        ["columns in", () => open_(page, "#columns-in")],
        ["edges", () => open_(page, "#edges-in")],
        [
          "exchange",
          async () => {
            await take(page, "gull white");
            await page.selectOption("#swap", { label: "sandbar" });
          },
        ],
      ];
      const texts = [await text(page)];
      for (const [name, deed] of deeds) {
        await deed();
        const now = await text(page);
        assert.notEqual(now, texts.at(-1), name);
        writeFileSync(join(folder, "deed.json"), now);
        upbead("check", "deed.json", "--json");
        texts.push(now);
      }
      assert.ok(
        !JSON.parse(String(texts.at(-1)))
          .rows.flat()
          .includes(JSON.parse(String(texts.at(-1))).colours.findIndex((/** @type {any} */ colour) => colour.name === "gull white")),
      );
      for (const before_ of texts.slice(0, -1).reverse()) {
        await page.click("#undo");
        assert.equal(await text(page), before_);
      }
      assert.equal(await text(page), written("tide.json"), "all undone is the file again, byte for byte");
      await page.click("[data-tool=take]");
      await touch(page, 1, 5);
      assert.equal(await page.textContent("#hand-name"), await beadAt(page, 1, 5));
    });
  });

  test("exported files are what the command line writes", async () => {
    await sit(open, async (page) => {
      await give(page, "#open-chart", join(folder, "tide.json"));
      await page.waitForFunction(() => /** @type {any} */ (window).upbeadDesk.desk.file === "tide.json");
      upbead("show", "tide.json", "--flat", "tide.svg", "--force");
      for (const [label, name, wanted] of [
        ["Flat chart, drawing", "tide.svg", written("tide.svg")],
        ["Chart file", "tide.json", written("tide.json")],
        ["Rows in words", "tide-rows.txt", upbead("weave", "tide.json")],
        ["Page to follow", "tide.html", upbead("weave", "tide.json", "--page", "-")],
      ]) {
        await page.click("#hand-on");
        const file = await saved(page, () => page.getByRole("button", { name: label }).click());
        assert.equal(file.name, name);
        assert.equal(readFileSync(file.path, "utf8"), wanted, label);
      }
      upbead("print", "tide.json", "--palette", TIN, "-o", "tide.pdf", "--force");
      upbead("show", "tide.json", "--flat", "tide-beads.png", "--beads", "--force");
      upbead("show", "tide.json", "--ring", "tide-ring.png", "--force");
      for (const [label, name] of [
        ["Printed pattern", "tide.pdf"],
        ["Beads as they look", "tide-beads.png"],
        ["The ring as worn", "tide-ring.png"],
      ]) {
        await page.click("#hand-on");
        const file = await saved(page, () => page.getByRole("button", { name: label }).click());
        assert.equal(file.name, name);
        assert.ok(readFileSync(file.path).equals(readFileSync(join(folder, name))), label);
      }
    });
  });

  test("weaving in place keeps its place, and comes back to the mat", async () => {
    await sit(open, async (page) => {
      await give(page, "#open-chart", join(folder, "tide.json"));
      await page.waitForFunction(() => /** @type {any} */ (window).upbeadDesk.desk.file === "tide.json");
      const step = page.frameLocator("#weave-page").locator(".follow-now h2");
      await page.click("#weave-open");
      const first = await step.innerText();
      await page.frameLocator("#weave-page").locator(".follow-next").click();
      const second = await step.innerText();
      assert.notEqual(second, first);
      await page.click("#weave-close");
      assert.equal(await page.evaluate(() => document.activeElement?.id), "weave-open");
      await page.click("#weave-open");
      assert.equal(await step.innerText(), second);
    });
  });

  test("calm and refined as on the command line, and shown at viewing distances", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", DUSK);
      await page.fill("#calm", "0.5");
      await page.check("#refine");
      await still(page);
      upbead("chart", DUSK, "--palette", TIN, "--columns", "9", "--size", "us7", "--colours", "8", "--calm", "0.5", "--refine", "-o", "calm.json", "--force");
      assert.equal(await text(page), written("calm.json"));
      await page.selectOption("#seen-from", "700");
      await page.locator("#seen").waitFor();
      // As large as it looks from 700 mm on a screen 300 mm away, and room for what the eye blurs.
      const width = await page.evaluate(() => /** @type {HTMLElement} */ (document.getElementById("seen")).clientWidth);
      const millimetre = 96 / 25.4;
      assert.ok(Math.abs(width - ((9 * 1.3 * 300) / 700 + 7) * millimetre) < 2, `${width} pixels wide`);
      await page.selectOption("#seen-from", "");
      await page.locator("#true-band").waitFor();
    });
  });

  test("the gauge and the options of a file are respected", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", DUSK);
      await page.click("#wishes details:has(#swatch) summary");
      await page.fill("#swatch", "40=33.6");
      await page.keyboard.press("Tab");
      await still(page);
      upbead("chart", DUSK, "--palette", TIN, "--columns", "9", "--size", "us7", "--colours", "8", "--swatch", "40=33.6", "-o", "own.json", "--force");
      assert.equal(await text(page), written("own.json"));
      await give(page, "#open-chart", join(folder, "tide.json"));
      await page.waitForFunction(() => /** @type {any} */ (window).upbeadDesk.desk.file === "tide.json");
      await page.click("#hand-on");
      await unfold(page);
      await page.locator("[data-option=make]").fill("12");
      await page.locator("[data-option=from]").selectOption("top");
      const kit = await saved(page, () => page.getByRole("button", { name: "Kit in words" }).click());
      assert.equal(readFileSync(kit.path, "utf8"), upbead("kit", "tide.json", "--palette", TIN, "--make", "12"));
      await page.click("#hand-on");
      const rows = await saved(page, () => page.getByRole("button", { name: "Rows in words" }).click());
      assert.equal(readFileSync(rows.path, "utf8"), upbead("weave", "tide.json", "--from", "top"));
      await page.click("#hand-on");
      await page.locator("[data-option=sizes]").fill("us5..us7");
      const zip = await saved(page, () => page.getByRole("button", { name: "Other ring sizes" }).click());
      assert.equal(readFileSync(zip.path).subarray(0, 2).toString(), "PK");
    });
  });

  test("every option of a file can be set, as on the command line", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", DUSK);
      await still(page);
      await give(page, "#open-chart", join(folder, "tide.json"));
      await page.waitForFunction(() => /** @type {any} */ (window).upbeadDesk.desk.file === "tide.json");
      await page.click("#hand-on");
      await unfold(page);
      const chosen = page.waitForEvent("filechooser");
      await page.locator("#cover").selectOption("other");
      await (await chosen).setFiles(DUSK);
      await page.locator("[data-option=note]").fill("For a cold day");
      await page.locator("[data-option=rows]").fill("20..35");
      await page.locator("[data-option=as][data-kinds=rows]").selectOption("markdown");
      await page.locator("[data-option=as][data-kinds=turntable]").selectOption("gif");
      await page.locator("[data-option=pixels]").fill("200");
      await page.locator("[data-option=tilt]").fill("-10");
      await page.locator("[data-option=frames]").fill("8");
      await page.locator("[data-option=ground][data-kinds~=ring]").fill("18222B");
      await page.locator("[data-option=seen]").fill("700");
      await page.locator("[data-option=lettered]").check();
      await page.locator("[data-option=thread]").fill("0.13");
      /** @type {[string, string, string[]][]} */
      const files = [
        ["Printed pattern", "tide.pdf", ["print", "tide.json", "--palette", TIN, "--picture", DUSK, "--note", "For a cold day"]],
        ["The ring as worn", "tide-ring.png", ["show", "tide.json", "--pixels", "200", "--tilt", "-10", "--ground", "18222B", "--ring"]],
        ["The ring turning", "tide-ring.gif", ["show", "tide.json", "--pixels", "200", "--tilt", "-10", "--frames", "8", "--ground", "18222B", "--turntable"]],
        ["The band from afar", "tide-seen.png", ["show", "tide.json", "--seen", "700"]],
        ["Flat chart, picture", "tide.png", ["show", "tide.json", "--lettered", "--flat"]],
      ];
      for (const [label, name, call] of files) {
        upbead(...call, ...(call[0] === "print" ? ["-o"] : []), name, "--force");
        if (!(await page.locator("#hand-on-list").isVisible())) await page.click("#hand-on");
        const file = await saved(page, () => page.getByRole("button", { name: label }).click());
        assert.equal(file.name, name);
        assert.ok(readFileSync(file.path).equals(readFileSync(join(folder, name))), label);
      }
      for (const [label, name, call] of /** @type {[string, string, string[]][]} */ ([
        ["Rows in words", "tide-rows.md", ["weave", "tide.json", "--rows", "20..35", "--as", "markdown"]],
        ["Kit in words", "tide-kit.txt", ["kit", "tide.json", "--palette", TIN, "--thread", "0.13"]],
      ])) {
        await page.click("#hand-on");
        const file = await saved(page, () => page.getByRole("button", { name: label }).click());
        assert.equal(file.name, name);
        assert.equal(readFileSync(file.path, "utf8"), upbead(...call), label);
      }
    });
  });

  test("beads set by hand stay while the others are refined around them", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", DUSK);
      await still(page);
      assert.ok(await page.locator("#refine-round").isHidden());
      await take(page, "gull white");
      await touch(page, 70, 5 + 1);
      await touch(page, 68, 4);
      const before = await text(page);
      writeFileSync(join(folder, "mended.json"), before);
      await page.locator("#refine-round").click();
      await page.locator("#said", { hasText: "Refined round 2 beads of yours" }).waitFor();
      upbead("refine", "mended.json", "--picture", DUSK, "--palette", TIN, "--pin", "70:6,68:4", "-o", "finer.json", "--force");
      const finer = JSON.parse(written("finer.json"));
      assert.deepEqual(JSON.parse(await text(page)).rows, finer.rows);
      assert.equal(await beadAt(page, 70, 6), "gull white");
      // Nothing throws it away unasked, and it can be taken back.
      assert.ok(await page.locator("#mended-note").isVisible());
      await page.click("#undo");
      assert.equal(await text(page), before);
    });
  });

  test("how well the band matches its picture, and the next sizes", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", DUSK);
      await still(page);
      await page.click("#near summary");
      await page.locator("#near-numbers", { hasText: "Worn" }).waitFor();
      writeFileSync(join(folder, "near.json"), await text(page));
      const told = JSON.parse(upbead("compare", "near.json", "--picture", DUSK, "--json"));
      const worn = told.seen.find((/** @type {any} */ each) => each.distance_mm === 700).mean;
      assert.match(await page.innerText("#near-numbers"), new RegExp(`Worn\\s+${Math.round(worn * 10) / 10} · `));
      await page.click("#beside summary");
      await page.locator("#beside-rows button", { hasText: "72 rows" }).click();
      await still(page);
      assert.equal(JSON.parse(await text(page)).rows.length, 72);
      assert.equal(await page.inputValue("#length-by"), "rows");
    });
  });

  test("a photograph of beads becomes the palette, and a band moves onto it", async () => {
    await sit(open, async (page) => {
      await give(page, "#open-chart", join(folder, "tide.json"));
      await page.waitForFunction(() => /** @type {any} */ (window).upbeadDesk.desk.file === "tide.json");
      await page.click("#drawer-open");
      await give(page, "#palette-photo", sample("samples/tray.jpg"));
      await page.locator(".compartment", { hasText: "pale grey" }).waitFor();
      upbead("palette", "from-photo", sample("samples/tray.jpg"), "-o", "tray.csv", "--force");
      const palette = await saved(page, () => page.click("#palette-save"));
      assert.equal(palette.name, "tray.csv");
      assert.equal(readFileSync(palette.path, "utf8"), written("tray.csv"));
      await page.click("#swap-onto");
      await page.locator("#swap-offer").waitFor({ state: "hidden" });
      upbead("swap", "tide.json", "--palette", "tray.csv", "-o", "moved.json", "--force");
      const moved = JSON.parse(written("moved.json"));
      const now = JSON.parse(await text(page));
      assert.deepEqual([now.rows, now.colours], [moved.rows, moved.colours]);
      await page.keyboard.press("Escape");
    });
  });

  test("a plain band is the one of the command line", async () => {
    await sit(open, async (page) => {
      await page.selectOption("#plain-colour", "quay-29");
      await page.click("#remake");
      await still(page);
      upbead("chart", "--plain", "--palette", TIN, "--ground", "quay-29", "--columns", "9", "--size", "us7", "-o", "plain.json", "--force");
      assert.equal(await text(page), written("plain.json"));
    });
  });

  test("notes and errors speak of the desk, not of the command line", async () => {
    await sit(
      open,
      async (page) => {
        await give(page, "#picture-choose", DUSK);
        await page.locator("#notes", { hasText: "write it under Your gauge" }).waitFor();
        await page.selectOption("#place", "repeat");
        await page.fill("#repeats", "400");
        await page.locator("#fault:visible").waitFor();
        const told = `${await page.innerText("#fault")} ${await page.innerText("#notes")} ${await page.innerText("#findings")}`;
        assert.doesNotMatch(told, /--/);
        assert.match(told, /“Placed/);
      },
      { refusals: [400, 422] },
    );
  });

  test("numbers and findings are those of the program, and a finding shows its beads", async () => {
    await sit(open, async (page) => {
      await give(page, "#open-chart", join(folder, "kittiwake.json"));
      await page.locator("#numbers", { hasText: /407 in[^]*Thread/ }).waitFor();
      const fit = JSON.parse(upbead("fit", "--size", "us7", "--columns", "11", "--json"));
      const row = fit.near.find((/** @type {any} */ near) => near.rows === 74);
      assert.match(await page.innerText("#numbers"), new RegExp(`${row.diameter_mm.toFixed(2)} mm`));
      const found = JSON.parse(upbead("check", "kittiwake.json", "--palette", TIN, "--json")).findings;
      assert.ok(found.length > 0);
      await page.locator(".finding").first().click();
      assert.equal(await page.locator(".finding").count(), found.length);
      const lit = await page.evaluate(() => {
        const { desk, mat, lattice } = /** @type {any} */ (window).upbeadDesk;
        return [...mat.over.lit].map((bead) => lattice.place(desk.history.chart, bead));
      });
      assert.deepEqual(lit, found[0].beads);
    });
  });
});

/** Puts a word into a field and goes on, as a hand does. @param {Page} page @param {string} field @param {string} words */
async function write(page, field, words) {
  await page.fill(field, words);
  await page.keyboard.press("Tab");
  await still(page);
}

/** The band that the command line makes of a picture at us7 with at most 8 colours. @param {string} picture @param {...string} more */
function charted(picture, ...more) {
  const colours = more.includes("--colours") ? [] : ["--colours", "8"];
  upbead("chart", picture, "--palette", TIN, "--columns", "9", "--size", "us7", ...colours, ...more, "-o", "reached.json", "--force");
  return written("reached.json");
}

describe("all that the command line does", () => {
  test("a motif is shown at its last position until the best one is found, and then there", async () => {
    const GULL = sample("samples/kittiwake.png");
    await sit(open, async (page) => {
      await give(page, "#picture-choose", GULL);
      await page.selectOption("#place", "motif");
      await still(page);
      // The seat on a broad band is none on a narrow one.
      for (const columns of ["15", "7", "11", "7"]) {
        await page.fill("#columns", columns);
        await still(page);
      }
      assert.ok(await page.locator("#fault").isHidden());
      const call = ["chart", GULL, "--palette", TIN, "--columns", "7", "--size", "us7", "--colours", "8", "--place", "motif", "--crisp", "1", "-o", "seated.json", "--force"];
      upbead(...call);
      assert.equal(await text(page), written("seated.json"));
      await page.click("#undo");
      await still(page);
      assert.equal(JSON.parse(await text(page)).made.options.place, undefined, "one deed, however it was shown meanwhile");
    });
  });

  test("a motif can be placed by hand, starting from its position so far", async () => {
    const GULL = sample("samples/kittiwake.png");
    await sit(open, async (page) => {
      await give(page, "#picture-choose", GULL);
      assert.ok(await page.locator("#sits-field").isHidden(), "only a motif has a seat");
      await page.selectOption("#place", "motif");
      await still(page);
      const best = charted(GULL, "--place", "motif", "--crisp", "1");
      assert.equal(await text(page), best);
      // Its lines are crisp until she sets them otherwise, which stays.
      await page.fill("#crisp", "0.5");
      await page.selectOption("#place", "round");
      await page.selectOption("#place", "motif");
      await still(page);
      assert.equal(await text(page), charted(GULL, "--place", "motif", "--crisp", "0.5"));
      await page.fill("#crisp", "1");
      await page.selectOption("#sits", "middle");
      await still(page);
      assert.equal(await text(page), charted(GULL, "--place", "motif", "--crisp", "1", "--seat", "middle"));
      await page.selectOption("#sits", "");
      await still(page);
      await page.selectOption("#sits", "own");
      await still(page);
      assert.equal(await page.inputValue("#seat"), JSON.parse(best).made.options.seat);
      await write(page, "#seat", "0.9,0.2,-0.4");
      assert.equal(await text(page), charted(GULL, "--place", "motif", "--crisp", "1", "--seat", "0.9,0.2,-0.4"));
      await page.waitForTimeout(500);
      await page.reload();
      await ready(page);
      assert.equal(await page.inputValue("#seat"), "0.9,0.2,-0.4");
      assert.ok(await page.locator("#seat").isVisible());
    });
  });

  test("refined for any distances", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", DUSK);
      await page.check("#refine");
      await page.selectOption("#seen-for", "own");
      await write(page, "#seen-mm", "500,1200");
      assert.equal(await text(page), charted(DUSK, "--refine", "--seen", "500,1200"));
    });
  });

  test("a gauge is opened, saved, remembered, and replaced only on request", async () => {
    const kept = join(folder, ".config/upbead/gauge.json");
    try {
      await sit(
        open,
        async (page) => {
          await page.click("#wishes details:has(#swatch) summary");
          assert.ok(await page.locator("#gauge-save").isDisabled());
          upbead("fit", "--swatch", "40=33.6", "--remember", "--gauge", "class.json");
          await give(page, "#gauge-open", join(folder, "class.json"));
          await page.waitForFunction(() => /** @type {HTMLInputElement} */ (document.getElementById("swatch")).value === "40=33.6");
          const same = await saved(page, () => page.click("#gauge-save"));
          assert.deepEqual([same.name, readFileSync(same.path, "utf8")], ["class.json", written("class.json")]);
          // The gauge of another bead is added to the file that was opened.
          await page.selectOption("#bead", "8");
          await page.fill("#swatch", "40=60");
          upbead("fit", "--bead", "8", "--swatch", "40=60", "--remember", "--gauge", "class.json");
          const both = await saved(page, () => page.click("#gauge-save"));
          assert.equal(readFileSync(both.path, "utf8"), written("class.json"));
          await page.click("#gauge-keep");
          await page.locator("#gauge-about", { hasText: "Remembered" }).waitFor();
          assert.equal(JSON.parse(upbead("fit", "--bead", "8", "--size", "us7", "--json")).gauge.from, "swatch 40=60");
          await page.fill("#swatch", "40=62");
          await page.click("#gauge-keep");
          await page.locator("#gauge-about", { hasText: "Another gauge for 8/0 beads is remembered" }).waitFor();
          assert.equal(JSON.parse(upbead("fit", "--bead", "8", "--size", "us7", "--json")).gauge.from, "swatch 40=60");
          await page.click("#gauge-replace");
          await page.locator("#gauge-about", { hasText: /^Remembered/ }).waitFor();
          assert.equal(readFileSync(kept, "utf8").includes("swatch 40=62"), true);
          await page.selectOption("#bead", "15");
          await give(page, "#gauge-open", join(folder, "class.json"));
          await says(page, "no gauge for 15/0 beads");
        },
        // What was typed for other beads than those on the mat is not believed of these.
        { refusals: [400, 422] },
      );
    } finally {
      rmSync(kept, { force: true });
    }
  });

  test("the rows for a ring size are listed in full", async () => {
    await sit(open, async (page) => {
      await page.click("#beside summary");
      await page.locator("#beside-rows button").first().waitFor();
      const fit = JSON.parse(upbead("fit", "--size", "us7", "--columns", "9", "--json"));
      const told = await page.innerText("#beside");
      for (const near of fit.near)
        for (const word of [`${near.rows} rows`, near.diameter_mm.toFixed(2), `${near.circumference_mm.toFixed(1)} round`, `ISO ${near.iso}`, `UK ${near.uk?.replace(" 1/2", "½")}`, `JP ${near.jp}`])
          assert.ok(told.includes(word), word);
      const [loose, touching] = fit.rows_range;
      assert.ok(told.includes(`${touching} rows with touching beads, ${loose} with a loose hand`), told);
      assert.ok(told.includes(`${fit.width_mm} mm wide`) && told.includes("measure the finger at the end of the day".replace("m", "M")), told);
      assert.equal(await page.locator("#beside-advice li").count(), fit.warnings.length);
      assert.doesNotMatch(told, /--/);
    });
  });

  test("colours that are hard to tell apart, up to a chosen difference", async () => {
    const shelf = sample("palettes/shelf.csv");
    await sit(open, async (page) => {
      await page.click("#drawer-open");
      await give(page, "#palette-open", shelf);
      await page.click("#alike summary");
      for (const below of ["3", "6"]) {
        await page.fill("#below", below);
        const told = JSON.parse(upbead("palette", shelf, "--below", below, "--json"));
        const name = (/** @type {string} */ code) => told.colours.find((/** @type {any} */ colour) => colour.code === code).name;
        const [first] = told.pairs;
        const words = first ? `${name(first.one)} and ${name(first.other)}` : `nearer than ${below}`;
        await page.locator("#alike-pairs li", { hasText: words }).first().waitFor();
        assert.equal(await page.locator("#alike-pairs li").count(), Math.min(21, Math.max(1, told.pairs_count)));
        const deutan = told.worn.sights.find((/** @type {any} */ each) => each.sight === "deutan");
        const lost = deutan.lost_count ? `${deutan.lost_count} more pair` : "no more pairs";
        await page.locator("#alike-worn li", { hasText: `(deutan): ${lost}` }).waitFor();
        await page.locator("#alike-worn li", { hasText: /^To all eyes: / }).waitFor();
      }
    });
  });

  test("documents for other programs, and what was said about the chart", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", DUSK);
      await still(page);
      await page.click("#hand-on");
      await page.click("#hand-on-other summary");
      const made = await saved(page, () => page.click("#told-save"));
      assert.equal(made.name, "harbour-dusk-made.json");
      const call = ["chart", DUSK, "--palette", TIN, "--columns", "9", "--size", "us7", "--colours", "8", "-o", "harbour-dusk.json", "--json", "--force"];
      const said = JSON.parse(upbead(...call));
      assert.deepEqual(JSON.parse(readFileSync(made.path, "utf8")), { ...said, picture: "harbour-dusk.jpg" });
      /** @type {[string, string, string[]][]} */
      const documents = [
        ["Worth a look, in words", "check.txt", ["check", "harbour-dusk.json", "--palette", TIN]],
        ["Rows, pass by pass", "rows.json", ["weave", "harbour-dusk.json", "--json"]],
        ["Kit", "kit.json", ["kit", "harbour-dusk.json", "--palette", TIN, "--json"]],
        ["Worth a look", "check.json", ["check", "harbour-dusk.json", "--palette", TIN, "--json"]],
        ["Rows round the finger", "fit.json", ["fit", "--size", "us7", "--columns", "9", "--json"]],
        ["Palette and its pairs", "palette.json", ["palette", TIN, "--json"]],
        ["Schema of rows", "rows.schema.json", ["schema", "--of", "weave"]],
      ];
      for (const [label, ending, call] of documents) {
        await page.click("#hand-on");
        const file = await saved(page, () => page.locator("#hand-on-list button", { has: page.locator(`span:text-is("${label}")`) }).click());
        assert.equal(file.name, `harbour-dusk${ending.startsWith(".") ? "" : "-"}${ending}`);
        assert.equal(readFileSync(file.path, "utf8"), upbead(...call), label);
      }
      await touch(page, 9, 3);
      await page.click("#hand-on");
      assert.ok(await page.locator("#told-save").isHidden(), "a mended band is no longer what was told of");
    });
  });

  test("an opened chart is given its picture: it stays, is compared with it as placed then or otherwise, and refined", async () => {
    charted(DUSK, "--colours", "7");
    await sit(open, async (page) => {
      await give(page, "#open-chart", join(folder, "reached.json"));
      await page.waitForFunction(() => /** @type {any} */ (window).upbeadDesk.desk.file === "reached.json");
      await give(page, "#picture-choose", DUSK);
      await page.locator("#said", { hasText: "stays as it is" }).waitFor();
      assert.equal(await page.inputValue("#colours"), "7", "the wishes are those that it was made with");
      await write(page, "#margin", "1");
      assert.equal(await text(page), written("reached.json"), "a wish waits for its button");
      await page.click("#near summary");
      await page.fill("#near-seen", "900");
      await page.keyboard.press("Tab");
      const mean = (/** @type {string[]} */ ...more) => {
        const told = JSON.parse(upbead("compare", "reached.json", "--picture", DUSK, "--seen", "900", ...more, "--json"));
        return `From 900 mm ${Math.round(told.seen[0].mean * 10) / 10} ·`;
      };
      const near = page.locator("#near-numbers");
      await near.filter({ hasText: /From 900 mm/ }).waitFor();
      assert.ok((await near.innerText()).replace(/\s+/g, " ").includes(mean()));
      await page.check("#near-laid");
      const other = mean("--margin", "1", "--place", "round", "--crisp", "0");
      assert.notEqual(other, mean());
      await page.waitForFunction((words) => document.getElementById("near-numbers")?.innerText.replace(/\s+/g, " ").includes(words), other);
      await page.click("#hand-on");
      await page.click("#hand-on-other summary");
      const file = await saved(page, () => page.locator("[data-kind=near-json]").click());
      const laid = ["--seen", "900", "--margin", "1", "--place", "round", "--crisp", "0"];
      const told = JSON.parse(upbead("compare", "reached.json", "--picture", DUSK, ...laid, "--json"));
      assert.deepEqual(JSON.parse(readFileSync(file.path, "utf8")), { ...told, picture: "harbour-dusk.jpg" });
      await page.fill("#pin", "20..35");
      await page.click("#refine-round");
      await page.locator("#said", { hasText: "The band refined" }).waitFor();
      upbead("refine", "reached.json", "--picture", DUSK, "--palette", TIN, "--pin", "20..35", "-o", "finer.json", "--force");
      assert.deepEqual(JSON.parse(await text(page)).rows, JSON.parse(written("finer.json")).rows);
    });
  });

  test("a photograph of beads is read with the chosen options", async () => {
    await sit(open, async (page) => {
      await page.click("#drawer-open");
      await page.click("#photo-how summary");
      await page.fill("#grid", "4x3");
      await page.fill("#white", "20,20");
      await give(page, "#palette-photo", sample("samples/tray.jpg"));
      await page.locator(".compartment", { hasText: "pale grey" }).waitFor();
      const how = ["palette", "from-photo", sample("samples/tray.jpg"), "--grid", "4x3", "--white", "20,20", "-o", "tray.csv", "--force"];
      upbead(...how);
      const palette = await saved(page, () => page.click("#palette-save"));
      assert.equal(readFileSync(palette.path, "utf8"), written("tray.csv"));
      const seen = await saved(page, () => page.click("#photo-told"));
      const told = JSON.parse(readFileSync(seen.path, "utf8"));
      assert.deepEqual(told, { ...JSON.parse(upbead(...how, "--json")), photo: "tray.jpg" });
      const doubts = told.piles.flatMap((/** @type {any} */ pile) => pile.doubts);
      assert.equal(await page.locator("#photo-doubts li").count(), doubts.length);
    });
  });
});

/** Unfolds all that is said of how files are made. @param {Page} page */
function unfold(page) {
  return page.evaluate(() => {
    for (const each of document.querySelectorAll("#hand-on-how details")) {
      each.removeAttribute("name");
      each.toggleAttribute("open", true);
    }
  });
}

/** Opens the slip for the whole band and presses there. @param {Page} page @param {string} button */
async function open_(page, button) {
  await page.click("#whole-open");
  await page.click(button);
  await page.keyboard.press("Escape");
}

describe("without a mouse", () => {
  test("keys alone: to the band, a colour, beads, a line, a motif, undo, save", async () => {
    await sit(open, async (page) => {
      const key = (/** @type {string[]} */ ...keys) => keys.reduce((done, each) => done.then(() => page.keyboard.press(each)), Promise.resolve());
      for (let nth = 0; nth < 40; nth++) {
        if (await page.evaluate(() => document.activeElement?.id === "stage")) break;
        await key("Tab");
      }
      assert.equal(await page.evaluate(() => document.activeElement?.id), "stage", "Tab reaches the band");
      await key("2");
      const name = await page.textContent("#hand-name");
      await key("ArrowRight", "ArrowUp", "Space");
      assert.equal(await page.textContent("#said"), `1 bead of ${name}`);
      await key("l", "Space", "Control+ArrowUp", "ArrowRight", "Space");
      const line = await page.textContent("#said");
      assert.match(String(line), /^\d+ beads of /);
      await key("o", "Space", "ArrowUp", "ArrowUp", "ArrowRight", "Space", "c", "Control+ArrowUp", "Control+ArrowUp", "Control+ArrowUp", "Space");
      assert.equal(await page.textContent("#said"), "A copy of the motif");
      await key("Escape", "Control+z", "Control+z");
      assert.equal(await page.textContent("#said"), `Undone: ${line}`);
      await key("?");
      await page.locator("#keys[open]").waitFor();
      await key("Escape");
      await page.locator("#keys:not([open])").waitFor({ state: "attached" });
      const file = await saved(page, () => page.keyboard.press("Control+s"));
      writeFileSync(join(folder, "keys.json"), readFileSync(file.path));
      upbead("show", "keys.json");
    });
  });

  test("a finger sets beads; two move the band and set none", async () => {
    await sit(
      open,
      async (page) => {
        await page.evaluate(() => /** @type {any} */ (window).upbeadDesk.mat.zoom(24));
        const at = await middle(page, 31, 3);
        await take(page, "brass");
        await page.touchscreen.tap(at.x, at.y);
        assert.equal(await beadAt(page, 31, 3), "brass");
        const before_ = await text(page);
        const from = await page.evaluate(() => document.getElementById("stage")?.scrollTop);
        await page.evaluate(({ x, y }) => {
          const band = /** @type {HTMLElement} */ (document.getElementById("band"));
          const finger = (/** @type {string} */ kind, /** @type {number} */ id, /** @type {number} */ down) =>
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
          for (let down = 0; down > -80; down -= 10) for (const id of [7, 8]) finger("pointermove", id, down);
          finger("pointerup", 7, -80);
          finger("pointerup", 8, -80);
        }, at);
        assert.equal(await text(page), before_);
        assert.notEqual(await page.evaluate(() => document.getElementById("stage")?.scrollTop), from);
      },
      { hasTouch: true, viewport: { width: 820, height: 1180 } },
    );
  });
});

describe("when something is wrong", () => {
  test("a bad picture, a bad palette, a bad chart and a huge file each say so, and nothing is lost", async () => {
    await sit(
      open,
      async (page) => {
        await give(page, "#open-chart", join(folder, "tide.json"));
        await page.waitForFunction(() => /** @type {any} */ (window).upbeadDesk.desk.file === "tide.json");
        await touch(page, 5, 3);
        const work = await text(page);
        await drop(page, "torn.png", readFileSync(sample("samples/kittiwake.png")).subarray(0, 200));
        await says(page, "torn.png");
        await drop(page, "drawer.csv", Buffer.from("code,name,hex\nquay-01,gull white,FAFAF6\nquay-02,kelp,kelp\n"));
        await says(page, "'kelp' is not a colour");
        await says(page, "drawer.csv:3:");
        await drop(page, "band.json", Buffer.from(written("tide.json").replace('"columns": 9', '"columns": 8')));
        await says(page, "band.json");
        await page.evaluate(() => {
          const data = new DataTransfer();
          data.items.add(new File([new Uint8Array(65 << 20)], "sea.png"));
          document.getElementById("mat")?.dispatchEvent(new DragEvent("drop", { dataTransfer: data, bubbles: true, cancelable: true }));
        });
        await says(page, "sea.png has 68 MB");
        await page.fill("#columns", "8");
        await page.click("#fault-close");
        await page.locator("#fault").waitFor({ state: "hidden" });
        await page.selectOption("#length-by", "size");
        await page.fill("#size", "seven");
        await page.click("#remake");
        await says(page, "seven");
        assert.equal(await text(page), work);
      },
      { refusals: [400, 413, 422] },
    );
  });

  test("a program that stops is reported at once, drawing and saving go on, nothing is lost when it is back", async () => {
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
        await page.locator("#lost:visible", { hasText: "Your work is kept here" }).waitFor();
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
          assert.equal(await text(page), last, "the next program's page takes the unsaved work up");
        } finally {
          await second.end();
        }
      },
      { lost: true, refusals: [404] },
    );
  });

  test("a reload keeps unsaved work, its picture and its undo", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", DUSK);
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
      assert.equal(JSON.parse(await text(page)).columns, 7, "the picture is still there to be charted");
    });
  });

  test("a browser that refuses to store anything gives a warning, and all else works", async () => {
    await sit(
      open,
      async (page) => {
        await says(page, "refuses to keep unsaved work");
        await page.click("#fault-close");
        await take(page, "brass");
        await touch(page, 9, 3);
        assert.equal(await beadAt(page, 9, 3), "brass");
        assert.equal(await page.textContent("#state"), "not saved");
        await saved(page, () => page.click("#save-chart"));
        assert.equal(await page.textContent("#state"), "saved");
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

  test("pictures and palettes that the program has forgotten are sent again", async () => {
    await sit(
      open,
      async (page) => {
        await give(page, "#picture-choose", DUSK);
        await still(page);
        // Four more pictures push the first one out.
        await page.evaluate(async () => {
          for (const fill of ["red", "green", "blue", "gold", "navy"]) {
            await fetch("picture?name=other.svg", {
              method: "POST",
              body: `<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><rect width="9" height="9" fill="${fill}"/></svg>`,
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

describe("on the screen", () => {
  test("a changed field asks for one chart and draws it: a ring and a panel", async () => {
    await sit(open, async (page) => {
      let asked = 0;
      page.on("request", (request) => {
        if (new URL(request.url()).pathname.endsWith("/chart")) asked += 1;
      });
      await give(page, "#picture-choose", DUSK);
      await still(page);
      const change = async (/** @type {number} */ columns) => {
        asked = 0;
        await page.evaluate(drawnWith, columns);
        assert.equal(asked, 1, `${columns} columns`);
      };
      for (const columns of [11, 13]) await change(columns);
      await page.selectOption("#length-by", "open");
      await page.fill("#rows", "240");
      await still(page);
      await change(81);
    });
  });

  test("of 20,000 beads only those that changed or came into view are painted", async () => {
    const rows = Array.from({ length: 400 }, (_, row) => Array.from({ length: 50 }, (_, at) => (Math.floor(row / 9) + Math.floor(at / 4)) % 6));
    const colours = ["FAFAF6", "1C3261", "CD2626", "2D847B", "C89A3F", "72AACC"].map((hex, nth) => ({ code: `c${nth}`, name: `sea ${nth}`, hex }));
    const panel = {
      format: "upbead-chart",
      version: 1,
      bead: { length_mm: 1.3, diameter_mm: 1.6, hole_mm: 0.8 },
      columns: 100,
      closed: false,
      colours,
      rows,
      made: { source: "", sha256: "", options: {}, version: "" },
    };
    writeFileSync(join(folder, "panel.json"), JSON.stringify(panel));
    await sit(open, async (page) => {
      await give(page, "#open-chart", join(folder, "panel.json"));
      await page.waitForFunction(() => /** @type {any} */ (window).upbeadDesk.desk.file === "panel.json");
      const painted = await page.evaluate(paintedBy);
      assert.ok(painted.down > 4000 && painted.down < 20000, `${painted.down} beads painted on the way down`);
      assert.equal(painted.up, 0, "what was seen before is painted again");
      // A bead that changes is painted alone: in the four tiles at most that meet in it.
      assert.ok(painted.bead >= 1 && painted.bead <= 4, `${painted.bead} beads painted for one`);
      assert.ok(painted.beads >= 30 && painted.beads <= 120, `${painted.beads} beads painted for thirty`);
    });
  });

  for (const colorScheme of /** @type {const} */ (["light", "dark"])) {
    test(`axe finds nothing, ${colorScheme}`, async () => {
      await sit(
        open,
        async (page) => {
          await give(page, "#open-chart", join(folder, "kittiwake.json"));
          await page.locator(".finding").first().click();
          await axe(page, "the table");
          await give(page, "#picture-choose", sample("samples/kittiwake.png"));
          await page.locator("#near:visible").waitFor();
          await page.evaluate(() => {
            for (const fold of document.querySelectorAll("main details")) fold.toggleAttribute("open", true);
          });
          await page.selectOption("#sits", "own");
          await page.check("#refine");
          await page.selectOption("#seen-for", "own");
          await page.locator("#near-numbers dd").first().waitFor();
          await page.locator("#beside-rows button").first().waitFor();
          await axe(page, "all unfolded");
          await page.click("[data-tool=motif]");
          await draw(page, [9, 3], [15, 7]);
          await axe(page, "a motif");
          for (const [button, what] of [
            ["#drawer-open", "#drawer"],
            ["#keys-open", "#keys"],
            ["#measure-open", "#measure"],
            ["#hand-on", "#hand-on-list"],
            ["#whole-open", "#whole-slip"],
          ]) {
            await page.click(String(button));
            await page.locator(`${what}:visible`).waitFor();
            await axe(page, String(what));
            for (const fold of await page.locator(`${what} details`).all()) {
              await fold.evaluate((each) => each.toggleAttribute("open", true));
              await page.waitForTimeout(300);
              await axe(page, `${what}, unfolded: ${await fold.locator("summary").textContent()}`);
            }
            await page.keyboard.press("Escape");
          }
        },
        { colorScheme, bypassCSP: true },
      );
    });
  }

  test("nothing overflows sideways and every button can be hit, from a phone to a desk", async () => {
    for (const viewport of [
      { width: 1280, height: 800 },
      { width: 820, height: 1180 },
      { width: 320, height: 640 },
      { width: 390, height: 844 },
    ]) {
      await sit(
        open,
        async (page) => {
          const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
          assert.ok(wide <= 0, `${wide} px too wide at ${viewport.width}`);
          const small = await page.evaluate(() =>
            [...document.querySelectorAll("main button, header button, main select, main input:not([type=checkbox])")].flatMap((button) => {
              const { width, height } = button.getBoundingClientRect();
              return width && (height < 44 || width < 44) ? [`${button.id || button.textContent} ${width}×${height}`] : [];
            }),
          );
          assert.deepEqual(small, []);
        },
        { viewport },
      );
    }
  });

  test("a screen that was measured shows the band at true size", async () => {
    await sit(open, async (page) => {
      await page.click("#measure-open");
      // ISO/IEC 7810:2019 ID-1: a card is 85.60 mm wide.
      await page.locator("#card-width").fill("428");
      assert.equal(await page.evaluate(() => document.getElementById("card")?.getBoundingClientRect().width), 428);
      await page.click("#measure-keep");
      await page.waitForTimeout(400);
      const width = await page.evaluate(() => document.getElementById("true-band")?.getBoundingClientRect().width ?? 0);
      // 9 columns of 1.3 mm at 428 / 85.6 = 5 pixels a millimetre, to the pixel.
      assert.ok(Math.abs(width - 9 * 1.3 * 5) <= 1, `${width} px`);
      await page.reload();
      await ready(page);
      assert.equal(await page.textContent("#measure-open"), "true size");
    });
  });
});

/** Types a number of columns, and waits until a band of so many is drawn. Runs in the page. @param {number} columns */
async function drawnWith(columns) {
  const { desk, mat } = /** @type {any} */ (window).upbeadDesk;
  const field = /** @type {HTMLInputElement} */ (document.getElementById("columns"));
  field.value = String(columns);
  field.dispatchEvent(new Event("input", { bubbles: true }));
  let frame = mat.frames;
  while (desk.history.chart.columns !== columns || mat.frames === frame) {
    if (desk.history.chart.columns !== columns) frame = mat.frames;
    await new Promise((done) => requestAnimationFrame(done));
  }
}

/** Beads painted while large beads are scrolled down and up again, while one changes, and while thirty do, one a frame. Runs in the page. */
async function paintedBy() {
  const { mat, hands } = /** @type {any} */ (window).upbeadDesk;
  const stage = /** @type {HTMLElement} */ (document.getElementById("stage"));
  const drawn = async () => {
    const frame = mat.frames;
    mat.soon();
    while (mat.frames === frame) await new Promise((done) => requestAnimationFrame(done));
  };
  /** @param {() => Promise<void>} deed */
  const counted = async (deed) => {
    const before_ = mat.painted;
    await deed();
    return mat.painted - before_;
  };
  /** @param {number[]} at */
  const scrolled = async (at) => {
    const most = stage.scrollHeight - stage.clientHeight;
    for (const part of at) {
      stage.scrollTop = (most * part) / 20;
      await drawn();
    }
  };
  const way = Array.from({ length: 21 }, (_, at) => at);
  stage.scrollTop = 0;
  mat.zoom(9);
  const down = await counted(() => scrolled(way));
  const up = await counted(() => scrolled(way.toReversed()));
  const bead = await counted(async () => {
    hands.set([10025]);
    await drawn();
  });
  const beads = await counted(async () => {
    for (let at = 0; at < 30; at++) {
      hands.set([7025 + 50 * at]);
      await drawn();
    }
  });
  mat.fit();
  return { down, up, bead, beads };
}

/** @param {Page} page @param {string} what */
async function axe(page, what) {
  if (!(await page.evaluate(() => "axe" in window))) await page.addScriptTag({ path: AXE });
  const found = await page.evaluate(async () => {
    const { violations } = await /** @type {any} */ (window).axe.run(document, {
      runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    });
    return violations.map(
      (/** @type {any} */ each) =>
        `${each.impact} ${each.id}: ${each.nodes.map((/** @type {any} */ node) => `${node.target} ${node.failureSummary}`).join("; ")}`,
    );
  });
  assert.deepEqual(found, [], what);
}

describe("over the seam, at the edges, with a pen", () => {
  /** Opens a navy band with beads of other colours on it. @param {Page} page @param {number} columns @param {number} rows @param {boolean} closed
   * @param {[number, number][]} [red] rows and columns */
  async function band(page, columns, rows, closed, red = []) {
    const colours = [
      { code: "quay-58", name: "jersey navy", hex: "1C3261", finish: "opaque" },
      { code: "quay-11", name: "buoy red", hex: "CD2626", finish: "opaque" },
    ];
    const beads = Array.from({ length: rows }, (_, row) =>
      Array.from({ length: (columns + ((row + 1) % 2)) >> 1 }, (_, nth) => (red.some(([r, c]) => r === row + 1 && c === nth * 2 + 2 - ((row + 1) % 2)) ? 1 : 0)),
    );
    const made = { source: "", sha256: "", options: {}, version: "0.1.0" };
    const chart = { format: "upbead-chart", version: 1, bead: { length_mm: 1.3, diameter_mm: 1.6, hole_mm: 0.8 }, columns, closed, colours, rows: beads, made };
    const name = `band-${columns}-${rows}-${closed}.json`;
    writeFileSync(join(folder, name), JSON.stringify(chart));
    await give(page, "#open-chart", join(folder, name));
    await page.waitForFunction((file) => /** @type {any} */ (window).upbeadDesk.desk.file === file, name);
    await page.waitForFunction((rows) => /** @type {any} */ (window).upbeadDesk.mat.chart.rows === rows, rows);
  }

  /** Rows and columns of the beads of a colour. @param {Page} page @param {string} name @returns {Promise<string[]>} */
  function places(page, name) {
    return page.evaluate((name) => {
      const { desk, lattice } = /** @type {any} */ (window).upbeadDesk;
      const { chart } = desk.history;
      const found = [];
      for (let bead = 0; bead < chart.beads.length; bead++) {
        const { row, column } = lattice.place(chart, bead);
        if (chart.colours[chart.beads[bead]].name === name) found.push(`${row}:${column}`);
      }
      return found;
    }, name);
  }

  /** Draws upwards from a bead by so many rows, over the end of the band if need be. @param {Page} page @param {[number, number]} from @param {number} rows */
  async function up(page, from, rows) {
    const { x, y } = await middle(page, ...from);
    const half = await page.evaluate(() => /** @type {any} */ (window).upbeadDesk.mat.half / devicePixelRatio);
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x, y - rows * half, { steps: 7 });
    await page.mouse.up();
  }

  test("a line, a motif's frame and a motif go over the seam in the direction they are drawn", async () => {
    await sit(open, async (page) => {
      const motif = /** @type {[number, number][]} */ ([
        [14, 4],
        [15, 5],
        [16, 4],
        [18, 6],
      ]);
      await band(page, 9, 20, true, motif);
      await page.click("[data-tool=motif]");
      await draw(page, [14, 4], [18, 6]);
      await page.focus("#stage");
      for (let nth = 0; nth < 5; nth++) await page.keyboard.press("Alt+ArrowUp");
      assert.deepEqual(await places(page, "buoy red"), ["4:4", "5:5", "6:4", "8:6"]);
      for (let nth = 0; nth < 3; nth++) await page.keyboard.press("Alt+ArrowDown");
      assert.deepEqual(await places(page, "buoy red"), ["2:6", "18:4", "19:5", "20:4"]);
      // By mouse, from the part above the seam.
      await draw(page, [18, 4], [14, 4]);
      assert.deepEqual(await places(page, "buoy red"), ["14:4", "15:5", "16:4", "18:6"]);
      await page.keyboard.press("Escape");

      await band(page, 9, 40, true);
      await take(page, "buoy red");
      for (const tool of ["line", "bead"]) {
        await page.click(`[data-tool=${tool}]`);
        await up(page, [37, 5], 6);
        assert.deepEqual(await places(page, "buoy red"), ["1:5", "3:5", "37:5", "39:5"], tool);
        await page.click("#undo");
      }
      await page.click("[data-tool=motif]");
      await up(page, [37, 5], 6);
      await page.click("#motif-acts [data-act=pour]");
      assert.deepEqual(await places(page, "buoy red"), ["1:5", "3:5", "37:5", "39:5"]);
      await page.keyboard.press("Escape");
      await page.click("#undo");
      // By keys: up and up from row 39, column 5.
      await page.focus("#stage");
      await page.evaluate(() => {
        const { desk, mat, lattice } = /** @type {any} */ (window).upbeadDesk;
        mat.over.cursor = lattice.index(desk.history.chart, 39, 5);
      });
      await page.keyboard.press("l");
      for (const key of ["Space", "ArrowUp", "ArrowUp", "ArrowUp", "ArrowUp", "Space"]) await page.keyboard.press(key);
      assert.deepEqual(await places(page, "buoy red"), ["1:5", "3:5", "39:5"]);
    });
  });

  test("a copy placed near the lower edge lies under the pointer; a motif stops at an edge", async () => {
    await sit(open, async (page) => {
      await band(page, 15, 20, false, [
        [10, 8],
        [11, 9],
        [12, 10],
      ]);
      await page.click("[data-tool=motif]");
      await draw(page, [8, 6], [12, 10]);
      await page.click("#motif-acts [data-act=copy]");
      await touch(page, 2, 10);
      assert.deepEqual(await places(page, "buoy red"), ["2:10", "3:11", "4:12", "10:8", "11:9", "12:10"]);
      await page.keyboard.press("Escape");
      await page.click("#undo");
      await draw(page, [8, 6], [12, 10]);
      await page.focus("#stage");
      for (let nth = 0; nth < 6; nth++) await page.keyboard.press("Alt+ArrowUp");
      assert.equal(await page.textContent("#said"), "The motif is at the edge");
      assert.deepEqual(await places(page, "buoy red"), ["18:8", "19:9", "20:10"]);
    });
  });

  test("what was begun on a band is dropped when the band changes shape", async () => {
    await sit(open, async (page) => {
      await band(page, 9, 80, true);
      await page.focus("#stage");
      for (const [tool, begun] of [
        ["l", "ghost"],
        ["o", "box"],
      ]) {
        await page.keyboard.press(tool);
        await page.evaluate(() => {
          /** @type {any} */ (window).upbeadDesk.mat.over.cursor = 320;
        });
        for (const key of ["Space", "ArrowUp"]) await page.keyboard.press(key);
        assert.ok(await page.evaluate((begun) => /** @type {any} */ (window).upbeadDesk.mat.over[begun], begun));
        await page.evaluate(() => {
          const { act, charts, desk } = /** @type {any} */ (window).upbeadDesk;
          const { chart } = desk.history;
          act({ kind: "whole", from: chart, to: charts.apply(chart, charts.edging(chart, false)) }, "the band charted");
        });
        const over = await page.evaluate(() => {
          const { anchor, box, ghost, cursor } = /** @type {any} */ (window).upbeadDesk.mat.over;
          return { anchor, box, ghost: ghost.size, cursor };
        });
        assert.deepEqual(over, { anchor: -1, box: null, ghost: 0, cursor: 199 });
        const before_ = await text(page);
        for (const key of ["ArrowUp", "Space"]) await page.keyboard.press(key);
        assert.equal(await text(page), before_, "Space begins anew");
        await page.keyboard.press("Escape");
        await page.click("#undo");
        await page.focus("#stage");
      }
      // With the mouse held down.
      await page.click("[data-tool=line]");
      const at = await middle(page, 77, 9);
      await page.mouse.move(at.x, at.y);
      await page.mouse.down();
      await page.mouse.move(at.x, at.y + 20, { steps: 3 });
      await page.evaluate(() => {
        const { act, charts, desk } = /** @type {any} */ (window).upbeadDesk;
        const { chart } = desk.history;
        act({ kind: "whole", from: chart, to: charts.apply(chart, charts.edging(chart, false)) }, "the band charted");
      });
      const before_ = await text(page);
      await page.mouse.move(at.x, at.y + 40, { steps: 3 });
      await page.mouse.up();
      assert.equal(await text(page), before_);
    });
  });

  test("a palm on the screen does not end a pen's stroke", async () => {
    await sit(
      open,
      async (page) => {
        await band(page, 9, 40, true);
        await take(page, "buoy red");
        const from = await middle(page, 11, 5);
        const to = await middle(page, 19, 5);
        await page.evaluate(
          ({ from, to }) => {
            const canvas = /** @type {HTMLElement} */ (document.getElementById("band"));
            const point = (/** @type {string} */ kind, /** @type {string} */ pointerType, /** @type {number} */ pointerId, /** @type {{x: number, y: number}} */ at) =>
              canvas.dispatchEvent(
                new PointerEvent(kind, { pointerId, pointerType, clientX: at.x, clientY: at.y, bubbles: true, button: kind === "pointermove" ? -1 : 0, buttons: 1 }),
              );
            const palm = { x: from.x + 60, y: from.y + 60 };
            // One palm lies there before the pen comes, another comes while it draws.
            point("pointerdown", "touch", 5, palm);
            point("pointerdown", "pen", 6, from);
            point("pointerdown", "touch", 7, palm);
            point("pointermove", "touch", 7, { x: palm.x, y: palm.y + 30 });
            point("pointermove", "pen", 6, { x: from.x, y: (from.y + to.y) / 2 });
            point("pointerup", "touch", 7, palm);
            point("pointerup", "touch", 5, palm);
            point("pointermove", "pen", 6, to);
            point("pointerup", "pen", 6, to);
          },
          { from, to },
        );
        assert.deepEqual(await places(page, "buoy red"), ["11:5", "13:5", "15:5", "17:5", "19:5"]);
      },
      { hasTouch: true },
    );
  });

  test("a colour of another palette that has a code of the band's is not taken for the band's", async () => {
    await sit(open, async (page) => {
      await band(page, 9, 40, true, [
        [11, 5],
        [13, 5],
      ]);
      await page.click("[data-tool=motif]");
      await draw(page, [11, 5], [13, 5]);
      await page.click("#motif-acts [data-act=copy]");
      const kept = await text(page);
      await drop(page, "reef.csv", Buffer.from("code,name,hex\nquay-11,sea green,00AA66\nquay-58,jersey navy,1C3261\nquay-90,brick,C03020\n"));
      await page.waitForFunction(() => /** @type {any} */ (window).upbeadDesk.desk.palette.name === "reef");
      await page.click("#drawer-open");
      await page.locator(".compartment", { hasText: "sea green" }).click();
      assert.equal(
        await page.textContent("#swap-why"),
        "The band has another colour called quay-11: buoy red, not sea green. Move the band onto this palette first.",
      );
      assert.notEqual(await page.textContent("#hand-name"), "sea green");
      assert.equal(await text(page), kept);
      await page.click("#swap-onto");
      await page.locator("#swap-offer").waitFor({ state: "hidden" });
      assert.deepEqual(await places(page, "brick"), ["11:5", "13:5"]);
      await page.locator(".compartment", { hasText: "sea green" }).click();
      assert.equal(await page.textContent("#hand-name"), "sea green");
      await page.click("[data-tool=bead]");
      await touch(page, 21, 5);
      assert.deepEqual(await places(page, "sea green"), ["21:5"]);
      const laid = JSON.parse(await text(page)).colours.find((/** @type {any} */ colour) => colour.code === "quay-11");
      assert.equal(laid.hex, "00AA66");
      // A copy of the beads as they were in the old palette.
      await page.evaluate(() => {
        const { hands } = /** @type {any} */ (window).upbeadDesk;
        const colour = { code: "quay-11", name: "buoy red", hex: "CD2626" };
        hands.motif = { rows: 1, columns: 1, cells: [{ row: 0, column: 0, colour }] };
        hands.tool = "stamp";
      });
      const before_ = await text(page);
      await touch(page, 31, 5);
      assert.match(String(await page.textContent("#fault-what")), /another colour called quay-11: sea green, not buoy red/);
      assert.equal(await text(page), before_);
    });
  });
});

/** How many deeds the browser has stored, of all the work that it keeps. Runs in the page. @returns {Promise<number[]>} */
function storedDeeds() {
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

/** Holds the answers to what is asked at an address back for a while. @param {Page} page @param {RegExp} at @param {number[]} waits in milliseconds, one
 * question after the other; the last holds for all that follow */
async function slowly(page, at, ...waits) {
  await page.route(at, async (route) => {
    const wait = waits.length > 1 ? waits.shift() : waits[0];
    const response = await route.fetch().catch(() => null);
    await new Promise((done) => setTimeout(done, wait));
    await (response ? route.fulfill({ response }) : route.abort()).catch(() => undefined);
  });
}

/** @param {Page} page @param {string} words */
async function stateSays(page, words) {
  await page.locator("#state", { hasText: words }).waitFor();
}

const KEPT = "kept in this browser, not in a file";

describe("work is kept, whatever happens", () => {
  test("a bead set just before the page goes away is kept", async () => {
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

  test("drawing without a pause is stored meanwhile, and called kept only when it is", async () => {
    await sit(open, async (page) => {
      const before = await page.textContent("#state");
      assert.equal(before, "nothing to save");
      const set = (/** @type {number} */ bead) =>
        page.evaluate((bead) => {
          const { desk, act, charts } = /** @type {any} */ (window).upbeadDesk;
          act(charts.colouring(desk.history.chart, [bead], { code: "tide-1", name: "tide", hex: "204060" }), `bead ${bead}`);
          return document.getElementById("state")?.textContent;
        }, bead);
      // Bead after bead, until thirty are stored.
      let beads = 0;
      for (let stored = 0; stored < 30; stored = Math.max(0, ...(await page.evaluate(storedDeeds)))) {
        assert.ok(beads < 300, `${stored} of ${beads} deeds stored while drawing`);
        assert.equal(await set(beads++), "being kept …", "a bead is called kept as soon as it is set");
      }
      await stateSays(page, KEPT);
      assert.deepEqual(await page.evaluate(storedDeeds), [beads]);
    });
  });

  test("kept work of another file is opened without losing what is on the mat, and is not offered again once it is saved", async () => {
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
        await page.locator("#offer:visible", { hasText: "tide.json" }).waitFor();
        await touch(page, 6, 4);
        const kittiwake = await text(page);
        assert.notEqual(kittiwake, written("kittiwake.json"));
        await page.click("#offer-take");
        await page.locator("#offer:visible", { hasText: "kittiwake.json" }).waitFor();
        assert.equal(await text(page), tide);
        await page.click("#offer-take");
        await page.locator("#offer:visible", { hasText: "tide.json" }).waitFor();
        assert.equal(await text(page), kittiwake, "the work on the mat was kept in its turn");
        await page.click("#offer-take");
        await page.locator("#offer:visible", { hasText: "kittiwake.json" }).waitFor();
        const file = await saved(page, () => page.click("#save-chart"));
        assert.deepEqual([file.name, readFileSync(file.path, "utf8")], ["tide.json", tide]);
        await page.locator("#state", { hasText: /^saved$/ }).waitFor();
        await page.reload();
        await ready(page);
        assert.equal(await text(page), kittiwake);
        assert.equal(await page.locator("#offer").isHidden(), true, "what is saved is not offered");
      },
      { lost: true },
    ).finally(() => at.end());
  });

  test("a chart still being made does not replace one that was opened, nor appear once the picture is gone", async () => {
    await sit(open, async (page) => {
      await give(page, "#picture-choose", DUSK);
      await still(page);
      await slowly(page, /\/chart\?/, 700);
      await page.fill("#columns", "7");
      await page.waitForTimeout(100);
      await give(page, "#open-chart", join(folder, "tide.json"));
      await page.waitForFunction(() => /** @type {any} */ (window).upbeadDesk.desk.file === "tide.json");
      await page.waitForTimeout(1000);
      assert.equal(await text(page), written("tide.json"));

      await give(page, "#picture-choose", DUSK);
      await page.locator("#picture-away:visible").waitFor();
      await page.waitForTimeout(100);
      await page.click("#picture-away");
      await page.waitForTimeout(1000);
      assert.equal(await text(page), written("tide.json"), "the chart stays where the picture is put away");
      assert.equal(await page.locator("#mat.busy").count(), 0);
    });
  });

  test("a desk restarted at the same port: the old tab says so and releases its work, the new one opens it", async () => {
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
          await page.locator("#lost-moved:visible", { hasText: "in another tab" }).waitFor();
          await touch(page, 7, 3);
          await touch(page, 9, 3);
          await stateSays(page, KEPT);
          await page.waitForTimeout(400);
          assert.equal(await page.locator("#fault").isHidden(), true);
          assert.ok(await page.locator("#lost-moved").isVisible());
          await touch(other, 11, 3);
          const further = await text(other);
          await stateSays(other, KEPT);
          await other.reload();
          await ready(other);
          assert.equal(await text(other), further, "the old tab keeps nothing over the new one's work");
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

  test("an old tab that finds another program at its address says so, and its work is found", async () => {
    const port = String(13001 + (process.pid % 2900));
    const first = await desk("--palette", TIN, "--port", port);
    await sit(
      first,
      async (page) => {
        await first.end();
        const second = await desk("--palette", TIN, "--port", port);
        try {
          await touch(page, 5, 3);
          await page.locator("#lost-moved:visible").waitFor();
          await stateSays(page, KEPT);
          assert.equal(await page.locator("#fault").isHidden(), true);
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
        await give(page, "#picture-choose", DUSK);
        await still(page);
        await touch(page, 5, 3);
        await stateSays(page, KEPT);
        const work = await text(page);
        // It asks nothing more, so that it does not find out by itself.
        await page.waitForTimeout(900);
        await first.end();
        const second = await desk("--palette", TIN, "--port", port);
        try {
          const other = await beside(page, second.address);
          assert.notEqual(await text(other), work);
          await other.locator("#offer:visible").waitFor();
          await other.click("#offer-take");
          await other.locator("#picture-image:visible").waitFor();
          assert.equal(await text(other), work);
          assert.equal(await other.locator("#offer").isHidden(), true, "nothing was drawn on the band that lay there");
        } finally {
          await second.end();
        }
      },
      {
        lost: true,
        refusals: [404],
        before: () => {
          // The tabs hear each other later than they wait.
          const add = BroadcastChannel.prototype.addEventListener;
          BroadcastChannel.prototype.addEventListener = function (/** @type {string} */ kind, /** @type {any} */ hear) {
            add.call(this, kind, (event) => setTimeout(hear, 900, event));
          };
        },
      },
    );
  });

  test("a chart that is undone takes its file's name with it", async () => {
    await sit(open, async (page) => {
      await give(page, "#open-chart", join(folder, "tide.json"));
      await page.waitForFunction(() => /** @type {any} */ (window).upbeadDesk.desk.file === "tide.json");
      await touch(page, 5, 3);
      const tide = await text(page);
      await give(page, "#open-chart", join(folder, "kittiwake.json"));
      await page.waitForFunction(() => /** @type {any} */ (window).upbeadDesk.desk.file === "kittiwake.json");
      await page.click("#undo");
      const file = await saved(page, () => page.click("#save-chart"));
      assert.deepEqual([file.name, readFileSync(file.path, "utf8")], ["tide.json", tide]);
      await page.click("#redo");
      const next = await saved(page, () => page.click("#save-chart"));
      assert.equal(next.name, "kittiwake.json");
    });
  });

  test("the view at a distance closes when it is not wanted any more, however late it comes", async () => {
    await sit(open, async (page) => {
      await slowly(page, /\/seen\?/, 500);
      const choose = (/** @type {number} */ nth) => page.locator("#seen-from").selectOption({ index: nth });
      await choose(1);
      await page.waitForTimeout(100);
      await choose(0);
      await page.waitForTimeout(900);
      assert.deepEqual([await page.locator("#seen").isHidden(), await page.locator("#true-band").isVisible()], [true, true]);
      await choose(1);
      await page.locator("#seen:visible").waitFor();
    });
  });

  test("a long name is cut between letters", async () => {
    await sit(open, async (page) => {
      // U+20BB7 has two halves in UTF-16.
      const name = `${"a".repeat(59)}\u{20BB7}\u{20BB7}`;
      await page.fill("#title", name);
      await page.locator("#title").press("Enter");
      const file = await saved(page, () => page.click("#save-chart"));
      assert.equal(file.name, `${"a".repeat(59)}\u{20BB7}.json`);
      await page.click("#remake");
      await still(page);
      assert.equal(await page.locator("#fault").isHidden(), true);
    });
  });

  test("of two pictures dropped one after the other the newer one stays", async () => {
    await sit(open, async (page) => {
      await slowly(page, /\/picture\?/, 800, 0);
      await drop(page, "first.jpg", readFileSync(DUSK));
      await drop(page, "second.png", readFileSync(sample("samples/kittiwake.png")));
      await page.waitForTimeout(1500);
      await still(page);
      assert.equal(await page.evaluate(() => /** @type {any} */ (window).upbeadDesk.desk.picture.name), "second.png");
      assert.match(JSON.parse(await text(page)).made.source, /second\.png/);
    });
  });
});
