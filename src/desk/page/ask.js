// Questions to the program that serves the page. In a lane only the newest answer counts; a program that is gone is told apart from one that says no.

/** @typedef {{what: string, where?: string, hint?: string}} Fault */

/** A question that was not answered as hoped: `stale` (a newer one replaced it), `lost` (nobody answers), `gone` (a picture or palette has to be sent
 * again), or a fault with its words. */
export class NoAnswer extends Error {
  /** @param {"stale" | "lost" | "gone" | "fault"} kind @param {Fault} fault */
  constructor(kind, fault) {
    super(fault.what);
    this.kind = kind;
    this.fault = fault;
  }
}

/** Counts up from the time of day, so that two visits to the page never use the same number. */
let counter = Date.now();
/** Part of each lane's name, so that two pages at one program never take each other's turn. */
const visit = Math.random().toString(36).slice(2, 10);
/** @type {Map<string, {n: number, stop: AbortController}>} */
const lanes = new Map();
/** How the program is lost: not at all, it does not answer, or another one is there in its place, at another address, and it never comes back.
 * @typedef {"" | "silent" | "moved"} Lost */
/** @type {Set<(lost: Lost) => void>} */
const watchers = new Set();
/** @type {Lost} */
let lost = "";

/** Calls `told` when the program stops or starts answering. @param {(lost: Lost) => void} told */
export function watch(told) {
  watchers.add(told);
}

/** @param {Lost} now */
function found(now) {
  if (lost === now || lost === "moved") return;
  lost = now;
  for (const told of watchers) told(now);
}

/** Looks whether the program is there; what is found is told to those who watch. */
export async function look() {
  await raw("begin").catch(() => undefined);
}

/** What is asked in a lane is wanted no more. @param {string} lane */
export function leave(lane) {
  lanes.get(lane)?.stop.abort();
  lanes.delete(lane);
}

/** Asks, and gives the raw answer. @param {string} route @param {{body?: unknown, raw?: BodyInit, lane?: string}} [how] @returns {Promise<Response>} */
export async function raw(route, how = {}) {
  if (lost === "moved") throw noAnswer();
  const asks = how.body !== undefined || how.raw !== undefined;
  let address = route;
  /** @type {{n: number, stop: AbortController} | undefined} */
  let turn;
  if (how.lane) {
    lanes.get(how.lane)?.stop.abort();
    turn = { n: ++counter, stop: new AbortController() };
    lanes.set(how.lane, turn);
    address += `${route.includes("?") ? "&" : "?"}lane=${how.lane}-${visit}&n=${turn.n}`;
  }
  const isStale = () => turn !== undefined && lanes.get(how.lane ?? "") !== turn;
  /** @type {Response} */
  let answer;
  try {
    answer = await fetch(address, {
      method: asks ? "POST" : "GET",
      body: how.raw ?? (asks ? JSON.stringify(how.body) : undefined),
      headers: how.body !== undefined ? { "Content-Type": "application/json" } : {},
      signal: turn?.stop.signal,
    });
  } catch (cause) {
    if (isStale() || (cause instanceof DOMException && cause.name === "AbortError")) throw stale();
    found("silent");
    throw noAnswer();
  }
  // The address has a secret in it, which every program makes anew: whoever finds nothing here is another one.
  if (answer.status === 404) {
    found("moved");
    throw noAnswer();
  }
  found("");
  if (isStale()) throw stale();
  if (answer.ok) return answer;
  throw await refusal(answer);
}

/** Asks, and gives the answer read as JSON. @param {string} route @param {{body?: unknown, raw?: BodyInit, lane?: string}} [how] @returns {Promise<any>} */
export async function ask(route, how = {}) {
  const answer = await raw(route, how);
  const turn = how.lane ? lanes.get(how.lane) : undefined;
  try {
    const read = await answer.json();
    if (how.lane && lanes.get(how.lane) !== turn) throw stale();
    return read;
  } catch (cause) {
    if (cause instanceof NoAnswer) throw cause;
    if (cause instanceof DOMException && cause.name === "AbortError") throw stale();
    if (cause instanceof SyntaxError) throw new NoAnswer("fault", { what: "the answer cannot be read" });
    found("silent");
    throw new NoAnswer("lost", { what: "the program behind the desk stopped in the middle of an answer" });
  }
}

function noAnswer() {
  return new NoAnswer("lost", { what: "the program behind the desk does not answer", hint: "start upbead desk again; what you made is kept here" });
}

function stale() {
  return new NoAnswer("stale", { what: "a newer change replaced this" });
}

/** @param {Response} answer */
async function refusal(answer) {
  /** @type {any} */
  const read = await answer.json().catch(() => ({}));
  const fault = read.error ?? { what: answer.status === 413 ? "that is more than the desk can take" : `the program refused (${answer.status})` };
  if (read.stale) return new NoAnswer("stale", fault);
  if (read.gone || answer.status === 410) return new NoAnswer("gone", fault);
  return new NoAnswer("fault", fault);
}

/** Looks every few seconds whether the program is back, until it is. @param {number} every milliseconds */
export function listenForReturn(every) {
  const timer = setInterval(async () => {
    if (lost !== "silent") return clearInterval(timer);
    await look();
  }, every);
}
