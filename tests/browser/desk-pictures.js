// Makes the pictures of the desk in samples/pictures anew: `npm run desk-pictures`, then look at them.

import { desk, give, sample, sit, still } from "./desk-harness.js";
import { closed } from "./harness.js";

const open = await desk("--palette", sample("palettes/tin.csv"));
/** The sample that is charted, and what is wished of it. @type {[string, Record<string, string>, "light" | "dark", string][]} */
const looks = [
  ["samples/kittiwake.png", { place: "motif", ground: "quay-58", columns: "11", colours: "5" }, "light", "desk.png"],
];
for (const [picture, wishes, colorScheme, name] of looks) {
  await sit(
    open,
    async (page) => {
      await give(page, "#picture-choose", sample(picture));
      for (const [id, value] of Object.entries(wishes)) {
        const field = page.locator(`#${id}`);
        if (await field.evaluate((each) => each instanceof HTMLSelectElement)) await field.selectOption(value);
        else await field.fill(value);
      }
      await page.fill("#title", "Kittiwake");
      await page.keyboard.press("Tab");
      await still(page);
      await page.locator("#numbers", { hasText: "Thread" }).waitFor();
      await page.evaluate(() => {
        document.activeElement instanceof HTMLElement && document.activeElement.blur();
        for (const side of document.querySelectorAll(".side")) side.scrollTop = 0;
      });
      await page.mouse.move(2, 2);
      await page.waitForTimeout(1000);
      await page.screenshot({ path: sample(`samples/pictures/${name}`) });
    },
    { colorScheme, reducedMotion: "reduce" },
  );
}
await open.end();
await closed();
