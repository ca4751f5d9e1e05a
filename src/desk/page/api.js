// Requests to the server of the page. Of requests that share a channel only the latest counts. A
// server that does not answer is told apart from one that reports an error.

/** @import { Answers, ErrorAnswer } from "../answers.d.ts" */
/** @typedef {ErrorAnswer} Fault What the server says is wrong. */
/** @typedef {Exclude<keyof Answers, "refused">} Route A route that answers JSON. */
/**
 * @typedef {"stale" | "lost" | "gone" | "fault"} Failure `stale`: a newer request replaced it;
 *   `lost`: nobody answers; `gone`: a picture or palette has to be sent again; `fault`: the server
 *   reports an error
 */
/**
 * @typedef {object} Options
 * @property {Record<string, string>} [query] what follows the route in the address
 * @property {unknown} [body] sent as JSON
 * @property {BodyInit} [bytes] sent as they are
 * @property {string} [channel]
 */
/**
 * @typedef {"" | "stopped" | "replaced"} Lost
 *   The server answers; it does not answer; another server has taken its place, and this one never
 *   comes back.
 */

/** A request that did not succeed. */
export class RequestError extends Error {
  /**
   * @param {Failure} kind
   * @param {Fault} fault
   */
  constructor(kind, fault) {
    super(fault.what);
    this.kind = kind;
    this.fault = fault;
  }
}

/** Starts at the time of day, so that two visits to the page never use the same number. */
let counter = Date.now();
/** Part of each channel's name, so that two pages never replace each other's requests. */
const visit = Math.random().toString(36).slice(2, 10);
/** The latest request of each channel. @type {Map<string, {n: number, abort: AbortController}>} */
const latest = new Map();
/** @type {Set<(lost: Lost) => void>} */
const watchers = new Set();
/** @type {Lost} */
let lost = "";

/**
 * Calls a function when the server stops answering or answers again.
 * @param {(lost: Lost) => void} changed
 */
export function watchConnection(changed) {
  watchers.add(changed);
}

/** @param {Lost} now */
function setConnection(now) {
  if (lost === now || lost === "replaced") return;
  lost = now;
  for (const changed of watchers) changed(now);
}

/** Checks whether the server answers; those who watch the connection are told. */
export async function checkConnection() {
  await request("begin").catch(() => undefined);
}

/**
 * Checks at intervals whether the server answers again, until it does.
 * @param {number} interval in milliseconds
 */
export function retryConnection(interval) {
  const timer = setInterval(async () => {
    if (lost !== "stopped") return clearInterval(timer);
    await checkConnection();
  }, interval);
}

/**
 * Cancels the latest request of a channel.
 * @param {string} channel
 */
export function cancel(channel) {
  latest.get(channel)?.abort.abort();
  latest.delete(channel);
}

/**
 * Enters a request in a channel, in place of the one before.
 * @param {string} channel
 */
function enter(channel) {
  latest.get(channel)?.abort.abort();
  const entry = { n: ++counter, abort: new AbortController() };
  latest.set(channel, entry);
  return entry;
}

/**
 * Sends a request and returns the response.
 * @param {string} route
 * @param {Options} [options]
 * @returns {Promise<Response>}
 */
export async function request(route, { query, body, bytes, channel } = {}) {
  if (lost === "replaced") throw noAnswer();
  const entry = channel ? enter(channel) : undefined;
  const isStale = () => entry !== undefined && latest.get(channel ?? "") !== entry;
  const search = new URLSearchParams(query);
  if (entry) {
    search.set("lane", `${channel}-${visit}`);
    search.set("n", String(entry.n));
  }
  const address = String(search) ? `${route}?${search}` : route;
  const isPost = body !== undefined || bytes !== undefined;
  /** @type {Response} */
  let answer;
  try {
    answer = await fetch(address, {
      method: isPost ? "POST" : "GET",
      body: bytes ?? (isPost ? JSON.stringify(body) : undefined),
      headers: body !== undefined ? { "Content-Type": "application/json" } : {},
      signal: entry?.abort.signal,
    });
  } catch (cause) {
    if (isStale() || isAbort(cause)) throw stale();
    setConnection("stopped");
    throw noAnswer();
  }
  // The address holds a secret that every server makes anew: one that does not know it is another.
  if (answer.status === 404) {
    setConnection("replaced");
    throw noAnswer();
  }
  setConnection("");
  if (isStale()) throw stale();
  if (answer.ok) return answer;
  throw await refusal(answer);
}

/**
 * Sends a request and returns its answer, read as JSON.
 * @template {Route} R
 * @param {R} route
 * @param {Options} [options]
 * @returns {Promise<Answers[R]>}
 */
export async function requestJson(route, options = {}) {
  const { channel } = options;
  const answer = await request(route, options);
  const entry = channel ? latest.get(channel) : undefined;
  try {
    const read = await answer.json();
    if (channel && latest.get(channel) !== entry) throw stale();
    return read;
  } catch (cause) {
    if (cause instanceof RequestError) throw cause;
    if (isAbort(cause)) throw stale();
    if (cause instanceof SyntaxError) {
      throw new RequestError("fault", { what: "the answer cannot be read" });
    }
    setConnection("stopped");
    throw new RequestError("lost", { what: "the program behind this page stopped" });
  }
}

/** @param {unknown} cause */
function isAbort(cause) {
  return cause instanceof DOMException && cause.name === "AbortError";
}

function noAnswer() {
  const what = "the program behind this page does not answer";
  return new RequestError("lost", { what, hint: "start the desk again; your work is kept" });
}

function stale() {
  return new RequestError("stale", { what: "a newer change replaced this" });
}

/** @param {Response} answer */
async function refusal(answer) {
  /** @type {Partial<Answers["refused"]>} */
  const read = await answer.json().catch(() => ({}));
  const what =
    answer.status === 413
      ? "that is more than the desk can take"
      : `the program refused the request (${answer.status})`;
  const fault = read.error ?? { what };
  if (read.stale) return new RequestError("stale", fault);
  if (read.gone || answer.status === 410) return new RequestError("gone", fault);
  return new RequestError("fault", fault);
}
