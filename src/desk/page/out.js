// Charts and all that is made of them go out.

import * as asking from "./ask.js";
import { say } from "./dom.js";
import * as files from "./files.js";
import { desk, fileName, textOf } from "./state.js";
import { layEverything } from "./lay.js";
import { heed, remembering } from "./program.js";
import { keep } from "./work.js";

export async function save() {
  if (!desk.history) return;
  const last = desk.history.done.at(-1) ?? null;
  const name = fileName();
  const as = await files.save(textOf(), name);
  if (!as) return;
  desk.file = as;
  desk.saved = last;
  layEverything();
  say(`Saved as ${as}`);
  await keep();
}

/** @param {string} kind @param {string} ending */
export async function handOn(kind, ending) {
  say("It is being made …");
  const name = fileName().replace(/\.json$/i, `.${ending}`);
  const answer = await heed(() =>
    remembering(() =>
      asking.raw(`export?kind=${kind}`, {
        body: { chart: textOf(), name: fileName(), palette: desk.palette ? { id: desk.palette.id } : undefined },
      }),
    ),
  );
  if (!answer) return;
  const disposition = answer.headers.get("Content-Disposition") ?? "";
  const whole = /filename\*=UTF-8''([^;]+)/i.exec(disposition)?.[1];
  const stated = whole ? decodeURIComponent(whole) : /filename="([^"]+)"/i.exec(disposition)?.[1];
  files.download(await answer.blob(), stated ?? name);
  say(`${stated ?? name} is made`);
}
