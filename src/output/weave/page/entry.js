// The page as a file of its own: the work is in it as JSON.

/** @import { Work } from "./work.js" */
import { mount } from "./follow.js";

const root = document.getElementById("follow");
const json = document.getElementById("work")?.textContent;
if (root && json) mount(root, /** @type {Work} */ (JSON.parse(json)));
