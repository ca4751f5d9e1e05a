// The things on the table: mat, ring, the picture's frame, the hands; and what they are given to tell others of.

import { get, part, say } from "./dom.js";
import { Hands } from "./hands.js";
import { Mat } from "./mat.js";
import { fault } from "./notice.js";
import { Frame } from "./picture.js";
import { Ring } from "./ring.js";
import { chart, hand } from "./state.js";

/** @typedef {import("./chart.js").Colour} Colour @typedef {import("./chart.js").Command} Command */

/** Told by the things on the table; filled in when the desk comes up.
 * @type {{act: (command: Command | null, said: string) => void, takeInHand: (colour: Colour) => void, layHands: () => void,
 *   where: (bead: number) => void, wishesChanged: () => void}} */
export const given = { act: nobody, takeInHand: nobody, layHands: nobody, where: nobody, wishesChanged: nobody };

function nobody() {}

export const ring = new Ring(get("ring", HTMLCanvasElement));
export const frame = new Frame(() => given.wishesChanged());
export const mat = new Mat(part("stage"), part("sizer"), get("band", HTMLCanvasElement), {
  press: (where, event) => hands.press(where, event),
  drag: (places) => hands.drag(places),
  release: () => hands.release(),
  cancel: () => hands.cancel(),
  hover: (bead) => {
    hands.hover(bead);
    given.where(bead);
  },
  zoomed: () => undefined,
});
export const hands = new Hands(
  {
    chart: () => chart(),
    inHand: () => hand(),
    takeInHand: (colour) => given.takeInHand(colour),
    act: (command, said) => given.act(command, said),
    say,
    changed: () => given.layHands(),
    refuse: (colour, other) =>
      fault({
        what: `the band has another colour called ${colour.code}: ${other.name}, not ${colour.name}`,
        hint: "move the band onto this palette first: the drawer offers it",
      }),
  },
  mat,
);
