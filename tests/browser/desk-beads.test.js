// The user's own beads: colours added, edited, removed and put in order; the kit of the band.

import assert from "node:assert/strict";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, test } from "node:test";
import {
  give,
  makeTide,
  openChart,
  ready,
  sample,
  saved,
  sharedDesk,
  sit,
  text,
  TIN,
  touch,
} from "./desk-harness.js";
import { folder, upbead } from "./harness.js";

/** @import { Page } from "playwright-core" */

const open = sharedDesk(makeTide);

describe("own beads", () => {
  test("colours are edited in place, and the command line reads the file back", async () => {
    await sit(open, async (page) => {
      await edit(page);
      const before = readFileSync(TIN, "utf8");
      await set(page, "gull white", { code: "gull-1", grams: "12,5", price: "0.40" });
      await set(page, "coral", { name: 'coral, the "pink"', hex: "#e0856f", finish: "lustre" });
      await set(page, "brass", { per_pack: "7.5" });
      await page.fill("#palette-currency", "£");
      await page.click("#colour-add");
      await page.keyboard.type("kelp");
      await set(page, "kelp", { hex: "2f5d50", finish: "matte" });
      await settled(page);
      const file = await saved(page, () => page.click("#palette-save"));
      assert.equal(file.name, "my tin.csv");
      const csv = readFileSync(file.path, "utf8");
      // Read by the program, each colour is what was typed; what was not typed is as it was.
      const was = report(before);
      const now = report(csv);
      const changed = {
        "gull white": { code: "gull-1", grams: 12.5, price: 0.4 },
        coral: { name: 'coral, the "pink"', hex: "E0856F", finish: "lustre" },
        brass: { per_pack: 7.5 },
      };
      const expected = was.map((colour) => ({
        ...colour,
        ...changed[/** @type {keyof typeof changed} */ (colour.name)],
      }));
      const kelp = { code: "pool-27", name: "kelp", hex: "2F5D50", finish: "matte" };
      const blank = { grams: null, per_gram: null, price: null, per_pack: null, extra: {} };
      const last = now.at(-1);
      assert.deepEqual(now.slice(0, -1), expected);
      assert.deepEqual(last, { ...blank, ...kelp, code: last?.code });
      assert.match(csv, /^code,name,hex,finish,grams,per_gram,price,per_pack,currency\n/);
      assert.equal(readFileSync(TIN, "utf8"), before, "the palette's own file");
      // What is undone to the first step is the palette as the program writes it.
      while (await page.locator("#palette-undo").isEnabled()) await page.click("#palette-undo");
      await settled(page);
      const undone = await saved(page, () => page.click("#palette-save"));
      assert.equal(readFileSync(undone.path, "utf8"), before);
    });
  });

  test("a palette with columns and quotes of its own comes back byte for byte", async () => {
    const csv =
      "code,name,hex,finish,grams,per_gram,price,currency,drawer,note\n" +
      'h-1,"slate, wet",4A5560,matte,3.25,199,0.4,EUR,top,"says ""hm"""\n' +
      "h-2,foam,F2F5F3,,,,,EUR,,\n";
    writeFileSync(join(folder, "drawers.csv"), csv);
    await sit(open, async (page) => {
      await page.click("#palette-button");
      await give(page, "#palette-open", join(folder, "drawers.csv"));
      await page.locator(".palette-colour", { hasText: "foam" }).waitFor();
      await show(page, "edit");
      await set(page, "foam", { grams: "2" });
      await settled(page);
      const file = await saved(page, () => page.click("#palette-save"));
      assert.equal(file.name, "drawers.csv");
      assert.equal(
        readFileSync(file.path, "utf8"),
        csv.replace("F2F5F3,,,,,EUR", "F2F5F3,,2,,,EUR"),
      );
    });
  });

  test("what is wrong is said beside the field, and the palette keeps what was there", async () => {
    await sit(open, async (page) => {
      await edit(page);
      const faults = {
        code: ["quay-01", "Taken by gull white."],
        name: ["", "Give it a name."],
        hex: ["kelp", "Six hex digits, such as 2F5D50."],
        grams: ["-3", "From 0, such as 2.5; empty if you have enough."],
        price: ["dear", "From 0, such as 0.40."],
        per_pack: ["0", "Above 0, such as 7.5."],
      };
      const row = page.locator(".palette-row").nth(2);
      for (const [field, [typed, fault]] of Object.entries(faults)) {
        const input = row.locator(`[data-field=${field}]`);
        const before = await input.inputValue();
        await input.fill(typed);
        await input.press("Tab");
        await row.locator(`.cell-${field} .fault`, { hasText: fault }).waitFor();
        assert.equal(await input.getAttribute("aria-invalid"), "true");
        await page.locator("#palette-faults", { hasText: "1 colour to mend" }).waitFor();
        await settled(page);
        assert.deepEqual(await served(page), report(readFileSync(TIN, "utf8")).map(look));
        await input.fill(before);
        await input.press("Tab");
        await page.locator("#palette-faults").waitFor({ state: "hidden" });
      }
      await page.fill("#palette-name", "a/b");
      await page.keyboard.press("Tab");
      await page.locator("#palette-name-fault", { hasText: "without / and" }).waitFor();
    });
  });

  test("rows are moved by keys and by dragging, and removed", async () => {
    await sit(open, async (page) => {
      await edit(page);
      const names = () =>
        page
          .locator(".palette-row [data-field=name]")
          .evaluateAll((all) =>
            all.map((each) => (each instanceof HTMLInputElement ? each.value : "")),
          );
      const before = await names();
      await page.locator(".row-handle").nth(0).focus();
      await page.keyboard.press("ArrowDown");
      assert.deepEqual((await names()).slice(0, 2), [before[1], before[0]]);
      const from = await page.locator(".row-handle").nth(0).boundingBox();
      const to = await page.locator(".row-handle").nth(3).boundingBox();
      assert.ok(from && to);
      await page.mouse.move(from.x + 9, from.y + 20);
      await page.mouse.down();
      await page.mouse.move(to.x + 9, to.y + 22, { steps: 5 });
      await page.mouse.up();
      assert.deepEqual((await names()).slice(0, 4), [before[0], before[2], before[3], before[1]]);
      await page.getByRole("button", { name: `Remove ${before[3]}`, exact: true }).click();
      assert.equal((await names()).includes(before[3]), false);
      await page.click("#palette-undo");
      await page.click("#palette-undo");
      await page.click("#palette-undo");
      assert.deepEqual(await names(), before);
      await page.click("#palette-redo");
      assert.deepEqual((await names()).slice(0, 2), [before[1], before[0]]);
      await settled(page);
      // A reload brings the copy and its order back.
      await page.keyboard.press("Escape");
      await page.reload();
      await ready(page);
      assert.equal((await served(page))[0].name, before[1]);
      assert.match(String(await page.textContent("#palette-button")), /my tin/);
    });
  });

  test("the band follows its colours, and keeps the ones that it has", async () => {
    await sit(open, async (page) => {
      await openChart(page, "tide.json");
      await edit(page);
      const chart = JSON.parse(await text(page));
      const [colour] = chart.colours;
      await set(page, colour.name, { hex: "102030", name: "deep", code: "d-1", finish: "matte" });
      await settled(page);
      const now = JSON.parse(await text(page));
      const deep = { code: "d-1", name: "deep", hex: "102030", finish: "matte" };
      assert.deepEqual(now.colours[0], deep);
      assert.deepEqual(now.rows, chart.rows);
      assert.equal(await page.locator("#recolour-offer").isVisible(), false);
      await page.getByRole("button", { name: "Remove deep", exact: true }).click();
      await page
        .locator(".row-refusal", { hasText: /The band has \d+ beads of deep, from row/ })
        .waitFor();
      assert.ok((await served(page)).some(({ name }) => name === "deep"));
      await page.click(".row-refusal button");
      await page.locator("#palette").waitFor({ state: "hidden" });
      const marked = await page.evaluate(
        () => /** @type {any} */ (window).upbeadDesk.canvas.overlay.highlighted.size,
      );
      assert.equal(marked, now.rows.flat().filter((/** @type {number} */ nth) => nth === 0).length);
      assert.equal(await page.textContent("#current-name"), "deep");
      // The band's own undo brings the colour back, as the palette does by its own.
      await page.click("#undo");
      assert.deepEqual(JSON.parse(await text(page)).colours, chart.colours);
    });
  });

  test("undo never takes a colour away that the band has got meanwhile", async () => {
    await sit(open, async (page) => {
      await edit(page);
      await page.click("#colour-add");
      await page.keyboard.type("kelp");
      await page.keyboard.press("Tab");
      await settled(page);
      await show(page, "colours");
      await page.locator(".palette-colour", { hasText: "kelp" }).click();
      await touch(page, 5, 3);
      await edit(page);
      await page.click("#palette-undo");
      await page.click("#palette-undo");
      await page.locator("#palette-faults", { hasText: "The band has 1 bead of kelp" }).waitFor();
      assert.ok((await served(page)).some(({ name }) => name === "kelp"));
    });
  });

  test("a colour is picked off a photo, into a row or as a new one, by press and key", async () => {
    await sit(open, async (page) => {
      await edit(page);
      await give(page, "#tray-open", sample("samples/tray.jpg"));
      const photo = page.locator("#tray-photo");
      await photo.waitFor();
      await page.locator(".palette-row [data-field=name]").nth(0).focus();
      await page.locator("#tray-hint", { hasText: "gull white takes" }).waitFor();
      const box = await photo.boundingBox();
      assert.ok(box);
      // The red pile: at the right, in the first of three rows.
      const red = { x: box.width * 0.86, y: box.height * 0.19 };
      await photo.click({ position: red });
      await settled(page);
      const [first] = await served(page);
      const [r, g, b] = channels(first.hex);
      assert.ok(r > 100 && g < 60 && b < 60, `${first.hex} is red`);
      assert.equal(first.hex, await page.textContent("#tray-hex"));
      await page.click("#tray-new");
      await page.keyboard.type("buoy");
      await page.keyboard.press("Tab");
      await settled(page);
      assert.equal((await served(page)).at(-1)?.hex, first.hex);
      await photo.focus();
      for (let time = 0; time < 12; time++) await page.keyboard.press("Shift+ArrowLeft");
      await page.keyboard.press("Enter");
      await settled(page);
      assert.equal((await served(page)).at(-1)?.hex, await page.textContent("#tray-hex"));
      assert.notEqual((await served(page)).at(-1)?.hex, first.hex);
    });
  });

  test("a photo of the tray becomes a palette that can be edited at once", async () => {
    await sit(open, async (page) => {
      await edit(page);
      await give(page, "#palette-photo", sample("samples/tray.jpg"));
      const pale = page.locator(".palette-row [data-field=name]").nth(0);
      await page.locator("#tray-photo").waitFor({ timeout: 120000 });
      await pale.fill("gull");
      await pale.press("Tab");
      await settled(page);
      const file = await saved(page, () => page.click("#palette-save"));
      assert.equal(file.name, "tray.csv");
      upbead("palette", "from-photo", sample("samples/tray.jpg"), "-o", "seen.csv", "--force");
      const seen = report(readFileSync(join(folder, "seen.csv"), "utf8"));
      const expected = seen.map((colour, nth) => (nth ? colour : { ...colour, name: "gull" }));
      assert.deepEqual(report(readFileSync(file.path, "utf8")), expected);
    });
  });

  test("an own palette is deleted and brought back; a shipped one cannot be", async () => {
    await sit(open, async (page) => {
      await edit(page);
      assert.ok(await page.locator("#palette-delete").isHidden());
      await set(page, "gull white", { name: "gull" });
      await settled(page);
      const files = () =>
        page
          .locator("#palette-choice option")
          .evaluateAll((all) => all.map((each) => each.textContent));
      const all = await files();
      assert.ok(all.includes("my tin"));
      await page.click("#palette-delete");
      await page.locator("#palette-deleted", { hasText: "my tin is deleted." }).waitFor();
      assert.equal((await files()).includes("my tin"), false);
      assert.equal((await served(page))[0].name, "gull white");
      await page.click("#palette-restore");
      await page.locator("#palette-delete").waitFor();
      assert.deepEqual(await files(), all);
      assert.equal((await served(page))[0].name, "gull");
      await page.click("#palette-delete");
      await page.locator("#palette-deleted").waitFor();
      await page.reload();
      await ready(page);
      await page.click("#palette-button");
      assert.equal((await files()).includes("my tin"), false);
    });
  });

  test("the kit says what is short and what to buy, as the command line does", async () => {
    await sit(open, async (page) => {
      await openChart(page, "tide.json");
      await page.click("#palette-button");
      await show(page, "kit");
      await page.locator("#kit-summary", { hasText: "You have all the beads" }).waitFor();
      await page.fill("#kit-make", "40");
      await page.locator("#kit-summary", { hasText: "For 40 bands you are short of" }).waitFor();
      const kit = JSON.parse(
        upbead("kit", "tide.json", "--palette", TIN, "--make", "40", "--json"),
      );
      const rows = await page
        .locator("#kit-rows tr")
        .evaluateAll((all) =>
          all.map((row) => [...row.querySelectorAll("td")].map((each) => each.innerText)),
        );
      assert.equal(rows.length, kit.colours.length);
      kit.colours.forEach((/** @type {any} */ colour, /** @type {number} */ nth) => {
        const beads = colour.beads.toLocaleString("en-GB");
        const short = colour.short_beads?.toLocaleString("en-GB");
        assert.ok(rows[nth][0].startsWith(beads), `${rows[nth][0]}: ${beads} beads`);
        assert.equal(rows[nth][3], short ? `${short} bead${short === "1" ? "" : "s"}` : "–");
        assert.equal(rows[nth][4] === "–", !colour.short_beads);
      });
      // A colour that has run out shows here once its grams say so.
      await show(page, "edit");
      const [colour] = JSON.parse(await text(page)).colours;
      await set(page, colour.name, { grams: "0" });
      await settled(page);
      await show(page, "kit");
      await page.fill("#kit-make", "1");
      await page.locator("#kit-summary", { hasText: `short of ${colour.name}` }).waitFor();
      const list = await saved(page, () => page.click("#kit-save"));
      assert.match(list.name, /-kit\.txt$/);
    });
  });
});

/**
 * Opens the palette for editing.
 * @param {Page} page
 */
async function edit(page) {
  if (!(await page.locator("#palette").isVisible())) await page.click("#palette-button");
  await show(page, "edit");
  await page.locator(".palette-row").first().waitFor();
}

/**
 * @param {Page} page
 * @param {string} view
 */
function show(page, view) {
  return page.locator(`.palette-tabs label:has([value=${view}])`).click();
}

/**
 * Types into the fields of a colour, which is found by its name.
 * @param {Page} page
 * @param {string} name
 * @param {Record<string, string>} fields
 */
async function set(page, name, fields) {
  const key = await page.evaluate((name) => {
    const all = /** @type {HTMLInputElement[]} */ ([
      ...document.querySelectorAll(".palette-row [data-field=name]"),
    ]);
    return all.find((each) => each.value === name)?.closest("li")?.dataset.key;
  }, name);
  assert.ok(key, `there is no ${name}`);
  for (const [field, value] of Object.entries(fields)) {
    const input = page.locator(`[data-key="${key}"] [data-field=${field}]`);
    if (field === "finish") await input.selectOption(value);
    else await input.fill(value);
    await input.press("Tab");
  }
}

/**
 * Waits until the palette is kept as its rows say it.
 * @param {Page} page
 */
async function settled(page) {
  await page.evaluate(() => /** @type {any} */ (window).upbeadDesk.bookSaved());
  await page.waitForFunction(() => /** @type {any} */ (window).upbeadDesk.state.isStored);
}

/**
 * The colours of the palette in use.
 * @param {Page} page
 * @returns {Promise<{code: string, name: string, hex: string}[]>}
 */
function served(page) {
  return page.evaluate(() => {
    const { palette } = /** @type {any} */ (window).upbeadDesk.state;
    return palette.colours.map((/** @type {any} */ { code, name, hex }) => ({ code, name, hex }));
  });
}

/** @param {{code: string, name: string, hex: string}} colour */
function look({ code, name, hex }) {
  return { code, name, hex };
}

/**
 * A palette's colours as the program reads them.
 * @param {string} csv
 * @returns {{code: string, name: string, hex: string}[]}
 */
function report(csv) {
  writeFileSync(join(folder, "read.csv"), csv);
  const { colours } = JSON.parse(upbead("palette", "read.csv", "--json"));
  return colours.map((/** @type {any} */ { lab: _lab, ...colour }) => colour);
}

/** @param {string} hex */
function channels(hex) {
  return [0, 2, 4].map((at) => parseInt(hex.slice(at, at + 2), 16));
}
