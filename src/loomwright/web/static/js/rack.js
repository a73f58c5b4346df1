// Rack: where batteries are, what is read of them, charges that end; one event each, kept here first.

import { all, clock, listed, newKey, one, remember, remembered, say } from "./base.js";
import { kept, keep, onTheWay } from "./outbox.js";
import { named, signature } from "./people.js";

const HOUR_MS = 3600000;
/** So many steps of the day are shown, from those that are so many minutes past. */
const STEPS = 6;
const LATE_MIN = 10;

/** @type {Record<string, { unit: string, times: number, ask: string }>} a reading's unit in the records, from what is typed */
const READINGS = {
  rested: { unit: "V", times: 1, ask: "Write the voltage." },
  resistance: { unit: "ohm", times: 0.001, ask: "Write what the tester shows." },
  warmth: { unit: "C", times: 1, ask: "Write the temperature." },
  loaded: { unit: "V", times: 1, ask: "Write the voltage under the load." },
  "load test": { unit: "V", times: 1, ask: "Write the voltage at the end." },
  capacity: { unit: "h", times: 1, ask: "Write how many hours it took." },
};

export function beginRack() {
  document.addEventListener("submit", (event) => {
    const form = /** @type {HTMLFormElement} */ (event.target);
    if (!form.matches(".rack-form")) return;
    event.preventDefault();
    void told(form);
  });
  document.addEventListener("click", (event) => {
    const button = /** @type {HTMLButtonElement | null} */ (/** @type {HTMLElement} */ (event.target).closest("button[data-rack]"));
    if (!button) return;
    if (button.dataset.rack === "move") void move(button);
    if (button.dataset.rack === "look") void tell({ kind: "looked over", about: button.dataset.battery, words: button.dataset.words });
    if (button.dataset.rack === "release") void release(button);
  });
}

/** @param {Record<string, unknown>} fields @returns {Promise<boolean>} whether it was kept */
async function tell(fields) {
  if (!named()) return false;
  // A battery belongs to no build of a robot.
  await keep([/** @type {any} */ ({ ...signature(), build: "", key: newKey(), ...fields })]);
  say(`${fields.about}: kept here.`);
  return true;
}

/** @param {HTMLElement} button */
async function move(button) {
  const { battery, words, charger, amps } = button.dataset;
  const conditions = amps ? { amps: Number(amps) } : {};
  await tell({ kind: "moved", about: battery, words, tool: charger ?? "", of: listed(button.dataset.of), conditions });
}

/** @param {HTMLElement} button */
async function release(button) {
  const field = /** @type {HTMLInputElement | null} */ (one("input", button.parentElement ?? document));
  const words = field?.value.trim() ?? "";
  if (!words) {
    field?.focus();
    say("Say in a few words what was found, and why it may be used again.");
    return;
  }
  if (await tell({ kind: "released", about: button.dataset.battery, words, of: listed(button.dataset.of) })) {
    if (field) field.value = "";
  }
}

/** @param {HTMLFormElement} form */
async function told(form) {
  const kind = form.dataset.kind ?? "";
  const done = kind === "charged" ? charged(form) : kind in READINGS ? read(form, kind) : kind === "played" ? played(form) : added(form, kind);
  if (!(await done)) return;
  form.reset();
  fillIn();
}

/** @param {HTMLFormElement} form @param {string} name @returns {HTMLInputElement} */
function field(form, name) {
  return /** @type {HTMLInputElement} */ (form.elements.namedItem(name));
}

/**
 * @param {HTMLFormElement} form
 * @param {string} name
 * @returns {number | null} what is written in a field, null where nothing is, NaN where it is no number
 */
function number(form, name) {
  const text = field(form, name).value.trim().replace(",", ".");
  return text === "" ? null : Number(text);
}

/** @param {HTMLFormElement} form @param {string} name @param {string} words @returns {boolean} false, after asking */
function ask(form, name, words) {
  field(form, name).focus();
  say(words);
  return false;
}

/** @param {HTMLFormElement} form @param {string} kind @returns {Promise<boolean>} */
async function read(form, kind) {
  const known = READINGS[kind];
  const value = number(form, "value");
  if (!known || value === null || !Number.isFinite(value)) return ask(form, "value", known?.ask ?? "");
  const conditions = conditionsOf(form);
  if (!conditions) return false;
  if (("low_a" in conditions) !== ("high_a" in conditions)) return ask(form, "low_a" in conditions ? "high" : "low", "Write both test currents.");
  return tell({ kind, about: form.dataset.battery, value: round(value * known.times), unit: known.unit, conditions });
}

/**
 * @param {HTMLFormElement} form
 * @returns {Record<string, number> | null} the numbers that a reading means nothing without; null after asking for one
 */
function conditionsOf(form) {
  /** @type {Record<string, number>} */
  const found = {};
  for (const item of all("[data-condition]", form)) {
    const input = /** @type {HTMLInputElement} */ (item);
    const value = number(form, input.name);
    if (value === null && input.dataset.needed === undefined) continue;
    if (value === null || !Number.isFinite(value) || value < 0) {
      ask(form, input.name, `Write a number: ${input.getAttribute("aria-label") ?? input.labels?.[0]?.textContent}.`);
      return null;
    }
    const name = input.dataset.condition || field(form, "after").value;
    found[name] = value;
    if (input.dataset.keep) remember(input.dataset.keep, input.value);
  }
  return found;
}

/** @param {HTMLFormElement} form @returns {Promise<boolean>} a charge ended: what it ended with, and where the battery is now */
async function charged(form) {
  const value = number(form, "value");
  if (value !== null && !Number.isFinite(value)) return ask(form, "value", "Write the end voltage as a number, or nothing.");
  const { battery, charger, since, amps } = form.dataset;
  const hours = since ? (Date.now() - new Date(since).getTime()) / HOUR_MS : null;
  const conditions = { ...(amps ? { amps: Number(amps) } : {}), ...(hours !== null && hours >= 0 ? { hours: round(hours) } : {}) };
  const ended = value === null ? {} : { value, unit: "V" };
  if (!(await tell({ kind: "charged", about: battery, tool: charger, conditions, ...ended }))) return false;
  return tell({ kind: "moved", about: battery, words: form.dataset.then, of: listed(form.dataset.of) });
}

/** @param {HTMLFormElement} form @returns {Promise<boolean>} */
async function played(form) {
  const words = field(form, "words").value.trim();
  if (!words) return ask(form, "words", "Write which match.");
  return tell({ kind: "played", about: form.dataset.battery, words });
}

/** @param {HTMLFormElement} form @param {string} kind @returns {Promise<boolean>} */
async function added(form, kind) {
  const about = field(form, "label").value.trim();
  if (!about) return ask(form, "label", "Write its label, as it stands on it.");
  const plain = (/** @type {string | undefined} */ text) => (text ?? "").toLowerCase().replace(/\s+/g, "");
  const there = all(kind === "charger" ? "[data-charger-label]" : ".battery[data-about]");
  if (there.some((item) => plain(item.dataset.chargerLabel ?? item.dataset.about) === plain(about))) {
    return ask(form, "label", `${about} is on the rack already.`);
  }
  /** @type {Record<string, number>} */
  const conditions = {};
  for (const [name, key] of kind === "charger" ? [["gentle", "gentle_a"], ["fast", "fast_a"]] : [["cycles", "cycles"]]) {
    const value = number(form, name ?? "");
    if (value !== null && !(value >= 0)) return ask(form, name ?? "", "Write it as a number.");
    if (value !== null && key) conditions[key] = value;
  }
  if (kind === "charger" && conditions["gentle_a"] === undefined) return ask(form, "gentle", "Write the charger's gentle current.");
  return tell({ kind, about, conditions });
}

/** @param {number} value @returns {number} without the dust of binary fractions */
function round(value) {
  return Number(value.toPrecision(9));
}

/** Fill in the test currents that this phone's tester has, and show moments on this phone's clock. */
export function fillIn() {
  for (const item of all("[data-keep]")) {
    const input = /** @type {HTMLInputElement} */ (item);
    if (!input.value) input.defaultValue = remembered(input.dataset.keep ?? "");
  }
  showSteps();
  for (const item of all("time[data-local]")) item.textContent = clock(item.getAttribute("datetime") ?? "") || item.textContent;
}

/** Show of the day's steps those of now and the next few; what is past by a while is done or asked about aloud. */
export function showSteps() {
  const now = new Date();
  const minute = now.getHours() * 60 + now.getMinutes();
  const steps = all(".cart [data-at]");
  const ahead = steps.filter((step) => Number(step.dataset.at) >= minute - LATE_MIN);
  for (const step of steps) step.hidden = !ahead.slice(0, STEPS).includes(step);
}

/** Mark the batteries of which something is kept here. */
export async function showKeptBatteries() {
  const told = [...(await kept()).map((item) => item.event), ...onTheWay()];
  const labels = new Set(told.map((event) => event.about));
  for (const row of all(".row[data-about]")) row.classList.toggle("is-kept", labels.has(row.dataset.about ?? "-"));
}
