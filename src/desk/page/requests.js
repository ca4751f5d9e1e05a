// Requests with what every request needs: errors are shown, and what the server has dropped is sent
// again.

import { RequestError, requestJson } from "./api.js";
import { showError } from "./notices.js";
import { state } from "./state.js";

/** @import { Answers } from "../answers.d.ts" */
/** @import { Route } from "./api.js" */

/**
 * Runs something that sends requests and shows what goes wrong.
 * @template T
 * @param {() => Promise<T>} run
 * @param {import("./notices.js").ErrorOptions} [options]
 * @returns {Promise<T | undefined>} undefined if it did not succeed
 */
export async function withErrors(run, options = {}) {
  try {
    return await run();
  } catch (cause) {
    if (!(cause instanceof RequestError)) {
      showError({ what: cause instanceof Error ? cause.message : String(cause) }, options);
    } else if (cause.kind === "fault") {
      showError(cause.fault, options);
    }
    return undefined;
  }
}

/**
 * Sends a picture and returns what the server says of it.
 * @param {{name: string, bytes: ArrayBuffer}} picture
 */
export function sendPicture({ name, bytes }) {
  return requestJson("picture", { query: { name }, bytes });
}

/**
 * Sends a palette and returns it as the server reads it.
 * @param {string} name of the file
 * @param {string} text
 */
export function sendPalette(name, text) {
  return requestJson("palette", { query: { name }, bytes: text });
}

/**
 * Runs requests; if the server has dropped the picture or the palette, sends them again, once.
 * @template T
 * @param {() => Promise<T>} run
 * @returns {Promise<T>}
 */
export async function withUploads(run) {
  try {
    return await run();
  } catch (cause) {
    if (!(cause instanceof RequestError) || cause.kind !== "gone") throw cause;
    if (state.picture) await sendPicture(state.picture);
    if (state.palette) await sendPalette(state.palette.file, state.palette.text);
    return await run();
  }
}

/**
 * Sends a request that needs the picture or the palette, and shows what goes wrong.
 * @template {Route} R
 * @param {R} route
 * @param {import("./api.js").Options} options
 * @param {import("./notices.js").ErrorOptions} [errors]
 * @returns {Promise<Answers[R] | undefined>} undefined if it did not succeed
 */
export function ask(route, options, errors) {
  return withErrors(() => withUploads(() => requestJson(route, options)), errors);
}
