// Makes the picture of the desk in samples/pictures: `npm run desk-pictures`, then look at it.

import { desk, give, sample, sit, still } from "./desk-harness.js";
import { closed } from "./harness.js";

const open = await desk("--palette", sample("palettes/tin.csv"));
await sit(
  open,
  async (page) => {
    await give(page, "#picture-choose", sample("samples/kittiwake.png"));
    await page.selectOption("#place", "motif");
    await page.selectOption("#ground", "quay-58");
    await page.fill("#columns", "11");
    await page.fill("#colours", "5");
    await page.fill("#title", "Kittiwake");
    await page.keyboard.press("Tab");
    await still(page);
    await page.locator("#figures", { hasText: "Thread" }).waitFor();
    await page.locator("#proposals:not(.waiting) button").first().waitFor();
    await page.evaluate(() => {
      document.activeElement instanceof HTMLElement && document.activeElement.blur();
      for (const fold of document.querySelectorAll("main details")) {
        fold.toggleAttribute("open", false);
      }
      for (const panel of document.querySelectorAll(".panel")) panel.scrollTop = 0;
    });
    await page.mouse.move(2, 2);
    await page.waitForTimeout(1000);
    await page.screenshot({ path: sample("samples/pictures/desk.png") });
  },
  { colorScheme: "light", reducedMotion: "reduce" },
);
await open.end();
await closed();
