// Hunt: one event for each tap, kept here first; of what there is to do, one thing at a time is shown.

import { all, listed, newKey, one, page, remember, remembered, say } from "./base.js";
import { chosen, choose, filter, forgetChosen, setMode, showChosen } from "./hunt_start.js";
import { askFor, beginState, isSo, tellOn } from "./hunt_state.js";
import { connected } from "./live.js";
import { kept, keep, onTheWay } from "./outbox.js";
import { named, signature } from "./people.js";

/** @typedef {Record<string, any> & { kind: string, of?: string[] }} Told */

/** @type {Record<string, number>} */
const TIMES = { "mΩ": 0.001, "Ω": 1, "kΩ": 1000, "MΩ": 1e6, "V": 1, "mV": 0.001, "A": 1, "mA": 0.001 };
/** So long nothing else is shown while the laptop works out what is next. */
const PATIENCE_MS = 6000;
let answeredAt = 0;
/** What is told one after the other: the second of two quick taps belongs to the hunt that the first began. */
let line = Promise.resolve();
/** Whether something is told just now: the second tap of a double tap tells nothing. */
let busy = false;

export function beginHunt() {
  beginState();
  document.addEventListener("click", (event) => {
    const button = /** @type {HTMLElement | null} */ (/** @type {HTMLElement} */ (event.target).closest("button"));
    if (!button) return;
    if (button.dataset.see) choose(button);
    if (button.dataset.mode) setMode(button);
    act(button, button.dataset.hunt ?? "");
  });
  document.addEventListener("input", (event) => {
    const field = /** @type {HTMLInputElement} */ (event.target);
    if (field.matches("[data-filter]")) filter(field);
  });
  document.addEventListener("submit", (event) => {
    const form = /** @type {HTMLFormElement} */ (event.target);
    if (!form.matches(".hunt-form, .clear-form")) return;
    event.preventDefault();
    if (form.matches(".hunt-form")) measured(form);
    else cleared(form);
  });
}

/** @param {HTMLElement} button @param {string} name */
function act(button, name) {
  const words = button.dataset.words ?? "";
  const sheet = /** @type {HTMLDialogElement | null} */ (one("#danger-sheet"));
  if (name === "danger") sheet?.showModal();
  if (name === "no danger") sheet?.close();
  if (name === "stop") danger(words, sheet);
  if (name === "tell") tellChosen();
  if (name === "answer") answer(button, { words });
  if (name === "power") void tellOn(words).then(showHunt);
  if (name === "skip") passOver(button);
  if (name === "unskip") remember(skippedPlace(), "");
  if (name === "mended") mended(button, words);
  if (name === "end") tell([{ kind: "hunt ended", words, ...seatOf(button) }], "The hunt is ended.");
  if (name === "merge") merge(button);
  if (name) void showHunt();
}

/** @returns {DOMStringMap} what the laptop says of the hunt */
function shownNow() {
  return one("#hunt-now")?.dataset ?? {};
}

/** @returns {Promise<{ hunt: string, mended: string[], events: any[] }>} the hunt with what is kept here of it */
async function standing() {
  const events = /** @type {any[]} */ ([...(await kept()).map((item) => item.event), ...onTheWay()]);
  const ended = new Set(events.filter((event) => event.kind === "hunt ended").flatMap((event) => event.of));
  const shown = shownNow().hunt ?? "";
  const begun = events.filter((event) => event.kind === "hunt" && !ended.has(event.key)).map((event) => event.key);
  const hunt = shown && !ended.has(shown) ? shown : (begun.at(-1) ?? "");
  const here = events.filter((event) => event.kind === "mended" && event.of.includes(hunt)).map((event) => event.key);
  return { hunt, mended: hunt === shown ? [...new Set([...listed(shownNow().mended), ...here])] : here, events };
}

/**
 * Keep events of the hunt; where none goes on, begin one with them.
 * @param {Told[]} events
 * @param {string} words what is said then
 */
function tell(events, words) {
  const urgent = events.some((event) => event.kind === "danger");
  if (!named() || (busy && !urgent)) return;
  busy = true;
  document.body.dataset.hunt = "telling";
  answeredAt = Date.now();
  line = line.then(() => tellNow(events, words)).finally(() => {
    busy = false;
    void showHunt();
  });
}

/** @param {Told[]} events @param {string} words */
async function tellNow(events, words) {
  const now = await standing();
  const key = now.hunt || newKey();
  const begin = now.hunt ? [] : [{ ...signature(), key, kind: "hunt" }];
  const whole = events.map((event) => {
    const of = event.kind === "observed" ? [key, ...now.mended, ...(event.of ?? [])] : (event.of ?? [key]);
    return { ...signature(), ...event, of };
  });
  await keep(/** @type {any[]} */ ([...begin, ...whole]));
  say(`${words} Kept here.`);
  await showHunt();
}

/** Tell what was tapped, all of it at once. */
function tellChosen() {
  if (!named()) return;
  const events = Object.entries(chosen()).map(([about, words]) => ({ kind: "observed", about, words }));
  if (events.length === 0) return;
  tell(events, "Told.");
  forgetChosen();
  for (const item of all("details.tell[open], details.seen[open]")) item.removeAttribute("open");
  one("#hunt-now")?.scrollIntoView();
}

/** @param {HTMLElement} from a button or a form of a check @param {Record<string, unknown>} found */
function answer(from, found) {
  const card = /** @type {HTMLElement | null} */ (from.closest("[data-check]"));
  const { check, needs, of, danger: place } = card?.dataset ?? {};
  if (!card || (needs && !isSo(needs))) return;
  /** @type {Told[]} */
  const events = [{ kind: "observed", about: check, ...found, of: listed(of) }];
  if (found.words === "burnt") events.push({ kind: "danger", words: "burnt smell", about: place ?? "" });
  tell(events, "Answered.");
  card.closest("details")?.removeAttribute("open");
}

/** @param {HTMLFormElement} form */
function measured(form) {
  const field = /** @type {HTMLInputElement} */ (form.elements.namedItem("value"));
  const unit = /** @type {HTMLSelectElement} */ (form.elements.namedItem("unit"));
  const text = field.value.trim().replace(",", ".");
  const value = Number((Number(text) * (TIMES[unit.value] ?? 1)).toPrecision(9));
  if (text === "" || !Number.isFinite(value)) {
    field.focus();
    say("Write what the meter shows, with its sign.");
    return;
  }
  answer(form, { value, unit: form.dataset.unit });
  field.value = "";
}

/** @param {string} words @param {HTMLDialogElement | null} sheet */
function danger(words, sheet) {
  const place = /** @type {HTMLSelectElement | null} */ (one("#danger-at"));
  tell([{ kind: "danger", words, about: place?.value ?? "" }], "Stop. Stand clear.");
  sheet?.close();
  one("#hunt-now")?.scrollIntoView();
}

/** @param {HTMLFormElement} form a mentor says what makes it safe */
function cleared(form) {
  const field = /** @type {HTMLInputElement} */ (form.elements.namedItem("words"));
  const words = field.value.trim();
  if (!words) {
    field.focus();
    say("Say in a few words what it was and what makes it safe.");
    return;
  }
  tell([{ kind: "cleared", words, of: listed(form.dataset.of) }], "Cleared.");
  field.value = "";
}

/** @param {HTMLElement} item @returns {Record<string, string>} the seat that it names */
function seatOf(item) {
  const { about, seat, wire, end } = item.dataset;
  return { about: about ?? seat ?? "", wire: wire ?? "", end: end ?? "" };
}

/** @param {HTMLElement} button @param {string} words the kind of fault, "" where nobody saw one */
function mended(button, words) {
  const card = /** @type {HTMLElement | null} */ (button.closest("[data-seat]"));
  if (!card) return;
  if (!isSo(card.dataset.needs ?? "any")) {
    wanted = card.dataset.needs ?? "";
    say("Look first: power off, plug apart.");
    one("#change")?.scrollIntoView({ block: "start" });
    return;
  }
  tell([{ kind: "mended", words, ...seatOf(card) }], `Mended: ${card.dataset.seat}.`);
}

/** @param {HTMLElement} button take over what another phone told of a hunt of its own, and end that one */
function merge(button) {
  const answers = JSON.parse(button.dataset.answers ?? "[]");
  tell(
    [
      ...answers.map((/** @type {any} */ one) => ({ kind: "observed", ...one })),
      { kind: "hunt ended", words: "given up", of: [button.dataset.other ?? ""] },
    ],
    "Taken over.",
  );
}

/** What somebody wants to mend before the screen would have said so needs a look, too. */
let wanted = "";

/** @returns {string} where it is remembered what nobody can do in this hunt */
function skippedPlace() {
  return `passed over ${shownNow().hunt ?? ""}`;
}

/** @param {HTMLElement} button */
function passOver(button) {
  const name = /** @type {HTMLElement | null} */ (button.closest("[data-item]"))?.dataset.item ?? "";
  remember(skippedPlace(), JSON.stringify([...skipped(), name]));
  wanted = "";
}

/** @returns {Set<string>} */
function skipped() {
  return new Set(JSON.parse(remembered(skippedPlace()) || "[]"));
}

/** Show the first thing that can be done, what it asks for, and what is kept here. */
export async function showHunt() {
  showChosen();
  if (!busy) document.body.dataset.hunt = "working";
  const now = await standing();
  const mine = now.events.filter((event) => (event.of ?? []).includes(now.hunt));
  const cleared = new Set(now.events.filter((event) => event.kind === "cleared").flatMap((event) => event.of));
  const stopped = now.events.some((event) => event.kind === "danger" && !cleared.has(event.key));
  document.body.classList.toggle("is-stopped", stopped || shownNow().phase === "stop");
  one("#stop-kept")?.toggleAttribute("hidden", !stopped || shownNow().phase === "stop");
  const answered = new Set(mine.map((event) => (event.kind === "mended" ? `mend ${event.about}` : event.about)));
  const waits = mine.length > 0 && connected() && Date.now() - answeredAt < PATIENCE_MS;
  showItem(answered, waits);
  if (!busy) document.body.dataset.hunt = waits ? "waiting" : "ready";
  const wait = one("#hunt-wait");
  if (!wait) return;
  wait.toggleAttribute("hidden", mine.length === 0);
  wait.textContent = waits ? "Kept here. Working out what is next." : "Kept here. What is next is worked out as soon as the laptop has it.";
  if (waits) setTimeout(() => void showHunt(), PATIENCE_MS);
}

/** @param {Set<string>} answered @param {boolean} waits */
function showItem(answered, waits) {
  const passed = skipped();
  const items = all("article[data-item]");
  const left = items.filter((item) => !answered.has(item.dataset.item ?? "") && !passed.has(item.dataset.item ?? ""));
  const current = waits ? undefined : left[0];
  for (const item of items) item.toggleAttribute("hidden", item !== current);
  one("#hunt-out")?.toggleAttribute("hidden", waits || Boolean(current) || !items.some((item) => passed.has(item.dataset.item ?? "")));
  const needs = current?.dataset.needs ?? "";
  if (wanted && isSo(wanted)) wanted = "";
  askFor(wanted || needs);
  const ready = !needs || isSo(needs);
  for (const control of current ? all("[data-hunt=answer], [data-hunt=mended], input, select, [type=submit]", current) : []) {
    /** @type {HTMLButtonElement} */ (control).disabled = !ready;
  }
}
