// Sample crimps, the Trace walk and the mentor's settings: forms that keep one event each.

import { all, listed, newKey, one, say } from "./base.js";
import { keep } from "./outbox.js";
import { danger, lock, looked, named, signature, tellWhy, working } from "./people.js";

/** @type {Record<string, number>} newton in one of these; a pound of force and a kilogram under standard gravity */
const NEWTON = { N: 1, kg: 9.80665, lbf: 4.4482216152605 };

export function beginWork() {
  document.addEventListener("submit", (event) => {
    const form = /** @type {HTMLFormElement} */ (event.target);
    if (form.matches(".sample-form, .set-form, .trace-form")) event.preventDefault();
    if (form.matches(".sample-form")) void pulled(form, "");
    if (form.matches(".set-form")) void begun(form);
    if (form.matches(".trace-form")) void traced(form, field(form, "words").value.trim());
  });
  document.addEventListener("click", (event) => {
    const button = /** @type {HTMLElement | null} */ (/** @type {Element} */ (event.target).closest("button"));
    const form = /** @type {HTMLFormElement | null} */ (button?.closest("form") ?? null);
    if (button?.dataset.sample && form) void pulled(form, button.dataset.sample);
    if (button?.dataset.trace && form) void traced(form, button.dataset.trace);
    if (button?.dataset.setting) void set(button);
  });
}

/** @param {HTMLFormElement} form @param {string} name @returns {HTMLInputElement} */
function field(form, name) {
  return /** @type {HTMLInputElement} */ (form.elements.namedItem(name));
}

/** @param {HTMLFormElement} form @param {Record<string, unknown>} fields */
async function tell(form, fields) {
  if (!named()) return;
  const buttons = /** @type {HTMLButtonElement[]} */ (all("button", form));
  for (const button of buttons) button.disabled = true;
  await keep([/** @type {any} */ ({ ...signature(), key: newKey(), of: listed(form.dataset.of), ...fields })]);
  // What is written would hold back the new part of the page; and without a network the next pull is kept here, too.
  form.reset();
  for (const button of buttons) button.disabled = false;
  say("Kept here.");
}

/** @param {HTMLFormElement} form @param {string} ended how a sample ended that has no figure; "" takes the figure */
async function pulled(form, ended) {
  if (ended) {
    await tell(form, { kind: "sample", about: ended });
    return;
  }
  const number = Number(field(form, "value").value.trim().replace(",", "."));
  if (!(number > 0) || !Number.isFinite(number)) {
    field(form, "value").focus();
    say("Write the force at which it let go.");
    return;
  }
  const value = number * (NEWTON[field(form, "unit").value] ?? 1);
  const about = value < Number(form.dataset.force || 0) ? "slipped" : "held";
  await tell(form, { kind: "sample", about, value, unit: "N" });
}

/** @param {HTMLFormElement} form */
async function begun(form) {
  const value = Number(field(form, "count").value.trim());
  if (!Number.isInteger(value) || value < 1) {
    field(form, "count").focus();
    say("Write how many samples the set will have.");
    return;
  }
  const words = field(form, "words")?.value.trim() ?? "";
  await tell(form, { kind: "set begun", about: form.dataset.about, value, words });
}

/** Lock the walk until whoever walks has looked: fingers follow wires. */
export function showTrace() {
  lock(all(".trace-form button, .trace-form input"), !looked());
  tellWhy("[data-locked-trace]", whyNoTrace());
}

/** @returns {string} */
function whyNoTrace() {
  if (danger()) return `Danger: ${danger()}. Hands off, until a mentor has cleared it on Hunt.`;
  return looked() ? "" : "Look at the robot first, at the top of the page: plug apart, main breaker off.";
}

/** @param {HTMLFormElement} form @param {string} words what is really there */
async function traced(form, words) {
  if (!looked()) {
    showTrace();
    say(whyNoTrace());
    return;
  }
  working();
  if (!words) {
    field(form, "words").focus();
    say("Write what is there.");
    return;
  }
  await tell(form, { kind: "traced", about: form.dataset.about, words });
}

/** @param {HTMLElement} button */
async function set(button) {
  if (!named()) return;
  const told = { kind: "setting", about: button.dataset.setting, words: button.dataset.words, of: listed(button.dataset.of) };
  await keep([/** @type {any} */ ({ ...signature(), key: newKey(), ...told })]);
}
