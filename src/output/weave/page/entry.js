// The file by itself: its work stands in it as JSON.

/** @import { Work } from "./work.js" */
import { mount } from "./follow.js";

const root = document.getElementById("follow");
const carried = document.getElementById("work")?.textContent;
if (root && carried) mount(root, /** @type {Work} */ (JSON.parse(carried)));
