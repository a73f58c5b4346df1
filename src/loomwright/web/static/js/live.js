// The page as it stands on the laptop: told of changes by a stream, fetched again after a sleep, put in part by part.

import { all, one, page } from "./base.js";
import { send } from "./outbox.js";

const HEARTBEAT_MS = 35000;
/** A page that nobody sees gives its stream back after this: a browser keeps six to one laptop, for all tabs together. */
const UNSEEN_MS = 3000;
let arrival = 0;
let heard = 0;
let fetching = false;
let late = false;
/** @type {Array<() => void>} */
const watchers = [];
/** @type {EventSource | null} */
let stream = null;
/** Whether the laptop answers and has no stream left for this page: then it asks now and then. */
let crowded = false;
let unseen = 0;
/** Whether a finger is down: what is under it must not be exchanged before it is up again, or the tap is lost. */
let pressed = false;
/** @type {(() => void) | null} */
let held = null;

/** @param {() => void} watcher is called after the page has been brought up to date, and when the connection changes */
export function watchPage(watcher) {
  watchers.push(watcher);
}

function changed() {
  for (const watcher of watchers) watcher();
}

/** @returns {boolean} whether the laptop has been heard lately */
export function connected() {
  // An answer that was on its way when the network went says nothing of now.
  return navigator.onLine && Date.now() - heard < HEARTBEAT_MS;
}

/** @param {() => void} work is done now, or as soon as no finger is down; of several the last */
function whenFree(work) {
  if (pressed) held = work;
  else work();
}

function release() {
  pressed = false;
  const work = held;
  held = null;
  work?.();
}

export function begin() {
  document.addEventListener("pointerdown", () => (pressed = true), { capture: true });
  for (const name of ["pointerup", "pointercancel"]) {
    document.addEventListener(name, () => setTimeout(release, 50), { capture: true });
  }
  arrival = Number(page("arrival")) || 0;
  heard = Date.now();
  listen();
  document.addEventListener("visibilitychange", () => {
    clearTimeout(unseen);
    if (document.hidden) unseen = setTimeout(leave, UNSEEN_MS);
    else wake();
  });
  addEventListener("online", wake);
  addEventListener("offline", () => {
    heard = 0;
    changed();
  });
  addEventListener("pageshow", (event) => {
    if (event.persisted) wake();
  });
  setInterval(() => {
    if (!connected() || crowded) listen();
    if (crowded && !document.hidden) void refresh();
    changed();
  }, 10000);
}

function wake() {
  listen();
  void refresh();
  void send();
}

function leave() {
  stream?.close();
  stream = null;
}

function listen() {
  if (document.hidden) return;
  if (stream && stream.readyState === EventSource.OPEN && connected()) return;
  stream?.close();
  stream = new EventSource("/api/v1/stream");
  stream.onopen = () => {
    crowded = false;
    document.body.classList.remove("is-out");
    hear();
  };
  stream.addEventListener("arrival", (event) => {
    hear();
    const told = JSON.parse(/** @type {MessageEvent} */ (event).data);
    const stale = told.stale ? "yes" : "no";
    const others = told.revision !== page("revision") || stale !== page("stale") || (told.trouble ?? "") !== page("trouble");
    if (told.arrival !== arrival || others) void refresh();
  });
  stream.onerror = () => {
    if (!crowded) heard = 0;
    changed();
    // Where the laptop can't be reached a browser tries again by itself; it gives up where it was refused.
    if (stream?.readyState === EventSource.CLOSED) void askWhy();
  };
}

/** Ask why there is no stream: a stream itself never says. */
async function askWhy() {
  const ask = new AbortController();
  try {
    const answer = await fetch("/api/v1/stream", { credentials: "same-origin", cache: "no-store", signal: ask.signal });
    crowded = answer.status === 503;
    if (answer.status === 401) document.body.classList.add("is-out");
    if (answer.ok || crowded) heard = Date.now();
    if (answer.ok) listen();
  } catch {
    crowded = false;
  } finally {
    ask.abort();
  }
  changed();
}

/** @returns {boolean} whether this page is kept up to date by asking alone */
export function asksOnly() {
  return crowded && connected();
}

function hear() {
  const before = connected();
  heard = Date.now();
  if (!before) {
    void send();
    void refresh();
    changed();
  }
}

/** Fetch this page again and put in the parts that are new. */
export async function refresh() {
  if (fetching) {
    late = true;
    return;
  }
  fetching = true;
  try {
    const answer = await fetch(location.href, { cache: "no-cache", credentials: "same-origin", redirect: "manual" });
    if (answer.ok) {
      heard = Date.now();
      const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
      whenFree(() => {
        putIn(fresh);
        changed();
      });
    }
  } catch {
    // Not heard: the stream says when the laptop is there again.
    changed();
  } finally {
    fetching = false;
  }
  if (late) {
    late = false;
    void refresh();
  }
}

/** @param {Document} fresh */
function putIn(fresh) {
  arrival = Number(fresh.body.dataset.arrival) || arrival;
  // All that the laptop says of the page, locks too: these hold whatever part is not exchanged while somebody types.
  for (const [name, value] of Object.entries(fresh.body.dataset)) if (name !== "joined") document.body.dataset[name] = value;
  const parts = all("[data-part]");
  const news = new Map(all("[data-part]", fresh).map((part) => [part.dataset.part, part]));
  const main = one("main");
  const whole = parts.length !== news.size || parts.some((part) => !news.has(part.dataset.part));
  if (whole && main) {
    const other = one("main", fresh);
    if (other && !typing(main)) swap(main, /** @type {HTMLElement} */ (document.adoptNode(other)));
  }
  for (const part of parts) {
    if (whole && main?.contains(part)) continue;
    const other = news.get(part.dataset.part);
    if (other && other.dataset.version !== part.dataset.version && !typing(part)) {
      swap(part, /** @type {HTMLElement} */ (document.adoptNode(other)));
    }
  }
}

/**
 * Put in a new part; leave the keyboard where it was, open what was open, and what never changes as it stands.
 * @param {HTMLElement} part
 * @param {HTMLElement} other
 */
function swap(part, other) {
  const focused = document.activeElement instanceof HTMLElement && part.contains(document.activeElement) ? document.activeElement : null;
  const name = focused?.dataset.name ?? "";
  const open = new Set(all("details[open]", part).map((item) => item.dataset.name));
  for (const item of all("details", other)) if (open.has(item.dataset.name)) item.setAttribute("open", "");
  const standing = new Map(all("[data-static]", part).map((item) => [item.dataset.name, item]));
  for (const item of all("[data-static]", other)) item.replaceWith(standing.get(item.dataset.name) ?? item);
  part.replaceWith(other);
  if (focused && other.contains(focused)) focused.focus({ preventScroll: true });
  if (name) all("[data-name]", other).find((item) => item.dataset.name === name)?.focus({ preventScroll: true });
}

/**
 * @param {HTMLElement} part
 * @returns {boolean} whether something is written in it that was not sent yet; it would be gone with the old part
 */
function typing(part) {
  const fields = Array.from(part.querySelectorAll("input")).filter((field) => !field.closest("[data-static]"));
  return fields.some((field) => field.value !== field.defaultValue);
}
