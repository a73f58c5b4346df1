// The outbox: what is signed is kept on this phone before anything else, and sent until the laptop says it has it.

import { page, say } from "./base.js";

/**
 * @typedef {Record<string, unknown> & { key: string, kind: string, wire?: string, end?: string, about?: string }} Event
 * @typedef {{ key: string, bench: string, number: number, event: Event, why: string[] }} Kept
 */

const NAME = "loomwright-bench";
const STORE = "outbox";
const AT_ONCE = 100;
/** The laptop takes 512,000 bytes at once; what names many others is long. */
const MOST_SIGNS = 200000;
const LONGEST_WAIT_MS = 15000;

/** @type {Promise<IDBDatabase> | null} */
let opened = null;
let wait = 0;
let sending = false;
let again = false;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;
/** @type {Array<() => void>} */
const watchers = [];

/** What the laptop has taken and this page does not show yet, with how far the bench was then. */
/** @type {Array<{ event: Event, arrival: number }>} */
let taken = [];

/** @returns {Event[]} what was taken, until the page is as new as that: so nothing jumps back in between */
export function onTheWay() {
  taken = taken.filter((one) => one.arrival > Number(page("arrival")));
  return taken.map((one) => one.event);
}

/** Why the laptop has not taken what was sent last, in its own words. */
let hurdle = "";

/** @returns {string} what keeps the laptop from taking what is kept here, "" where it said nothing of the kind */
export function whyKept() {
  return hurdle;
}

/** @type {Array<(events: Event[]) => void>} */
const markers = [];

/** @param {(events: Event[]) => void} marker is called as soon as events are kept, before anything else is worked out */
export function markAtOnce(marker) {
  markers.push(marker);
}

/** @param {() => void} watcher is called whenever what is kept here has changed */
export function watchOutbox(watcher) {
  watchers.push(watcher);
}

function changed() {
  for (const watcher of watchers) watcher();
}

/** @returns {string} which robot this page is of; a phone may know several */
function bench() {
  return `${page("robot")}/${page("build")}`;
}

/** @returns {Promise<IDBDatabase>} */
function database() {
  opened ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore(STORE, { keyPath: "key" });
    asked.onsuccess = () => resolve(asked.result);
    asked.onerror = () => reject(asked.error);
  });
  opened.catch(() => {
    opened = null;
  });
  return opened;
}

/**
 * @param {IDBTransactionMode} mode
 * @param {(store: IDBObjectStore) => IDBRequest | void} work
 * @returns {Promise<any>} the result, once the browser says that it is kept
 */
async function inStore(mode, work) {
  const held = await database();
  return new Promise((resolve, reject) => {
    // "strict" waits for the disk where a browser knows the word.
    const deal = held.transaction(STORE, mode, { durability: "strict" });
    const asked = work(deal.objectStore(STORE));
    deal.oncomplete = () => resolve(asked ? asked.result : undefined);
    deal.onerror = () => reject(deal.error);
    deal.onabort = () => reject(deal.error);
  });
}

/**
 * Keep events on this phone, then send them. What is kept survives a closed tab and a flat phone.
 * @param {Event[]} events
 * @returns {Promise<void>} when they are kept
 */
export async function keep(events) {
  const number = Date.now();
  document.body.dataset.unsent = "yes";
  await inStore("readwrite", (store) => {
    events.forEach((event, n) => store.put({ key: event.key, bench: bench(), number: number + n / 1000, event, why: [] }));
  });
  for (const mark of markers) mark(events);
  // The mark is painted first; the rest may take a slow phone a moment.
  setTimeout(() => {
    changed();
    void send();
  });
}

/** @returns {Promise<Kept[]>} what this phone keeps of this robot and the laptop has not taken yet, oldest first */
export async function kept() {
  /** @type {Kept[]} */
  const held = await inStore("readonly", (store) => store.getAll());
  return held.filter((one) => one.bench === bench()).sort((a, b) => a.number - b.number);
}

/** @param {string} key drop something that the laptop has refused, after somebody has read why */
export async function drop(key) {
  await inStore("readwrite", (store) => store.delete(key));
  changed();
}

/** Send what waits; where that fails, wait a little longer each time and try again. */
export async function send() {
  if (sending) {
    again = true;
    return;
  }
  sending = true;
  clearTimeout(timer);
  try {
    await sendAll();
    wait = 0;
  } catch {
    wait = Math.min(LONGEST_WAIT_MS, wait ? wait * 2 : 1000);
    timer = setTimeout(() => void send(), wait);
  } finally {
    sending = false;
  }
  if (again) {
    again = false;
    void send();
  }
}

async function sendAll() {
  for (;;) {
    const waiting = first((await kept()).filter((one) => one.why.length === 0));
    if (waiting.length === 0) return;
    const answer = await fetch("/api/v1/events", {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-Bench": "1" },
      body: JSON.stringify({ events: waiting.map((one) => one.event) }),
      credentials: "same-origin",
    });
    if (answer.status === 401) {
      document.body.classList.add("is-out");
      throw new Error("join again");
    }
    if (!answer.ok) {
      hurdle = await wordsOf(answer);
      changed();
      throw new Error(hurdle);
    }
    hurdle = "";
    document.body.classList.remove("is-out");
    const told = await answer.json();
    await settle(waiting, told.answers, told.arrival);
  }
}

/** @param {Kept[]} waiting @returns {Kept[]} the first of these that go at once */
function first(waiting) {
  let signs = 0;
  return waiting.filter((one, n) => n < AT_ONCE && (signs += JSON.stringify(one.event).length) < MOST_SIGNS);
}

/** @param {Response} answer @returns {Promise<string>} what the laptop says of why it could not take something */
async function wordsOf(answer) {
  try {
    const told = await answer.json();
    return `The laptop says: ${told.what} ${told.fix}`;
  } catch {
    return `The laptop answered ${answer.status}.`;
  }
}

/**
 * @param {Kept[]} waiting
 * @param {Array<{ key: string, outcome: string, why: string[] }>} answers
 * @param {number} arrival
 */
async function settle(waiting, answers, arrival) {
  const refused = new Map(answers.filter((one) => one.outcome === "refused").map((one) => [one.key, one.why]));
  const good = new Set(answers.filter((one) => one.outcome !== "refused").map((one) => one.key));
  if (good.size + refused.size === 0) throw new Error("the laptop answered for nothing that was sent");
  await inStore("readwrite", (store) => {
    for (const one of waiting) {
      if (good.has(one.key)) store.delete(one.key);
      else if (refused.has(one.key)) store.put({ ...one, why: refused.get(one.key) ?? ["The laptop gave no reason."] });
    }
  });
  taken = [...taken, ...waiting.filter((one) => good.has(one.key)).map((one) => ({ event: one.event, arrival }))];
  if (refused.size) say("The laptop did not take something. Read why, below.");
  changed();
}
