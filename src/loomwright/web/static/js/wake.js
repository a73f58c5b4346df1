// Wake-up: looks that two people answer, readings judged at once, power told on and off stage by stage.

import { all, listed, newKey, one, page, say } from "./base.js";
import { kept, keep, onTheWay } from "./outbox.js";
import { named, signature } from "./people.js";

/** @type {Record<string, number>} */
const TIMES = { "mΩ": 0.001, "Ω": 1, "kΩ": 1000, "MΩ": 1e6, "V": 1, "mV": 0.001 };

export function beginWake() {
  document.addEventListener("submit", (event) => {
    const form = /** @type {HTMLFormElement} */ (event.target);
    if (form.matches(".reading-form")) {
      event.preventDefault();
      void measured(form, false);
    }
  });
  document.addEventListener("click", (event) => {
    const button = /** @type {HTMLButtonElement | null} */ (/** @type {HTMLElement} */ (event.target).closest("button"));
    if (!button || button.disabled) return;
    const form = /** @type {HTMLFormElement | null} */ (button.closest(".reading-form"));
    if (button.dataset.wake === "open" && form) void measured(form, true);
    if (button.dataset.wake === "confirm") void tell(button, { kind: "confirmed", about: button.dataset.about });
    if (button.dataset.wake === "confirm all") void confirmAll(button.dataset.before ?? "");
    if (button.dataset.wake === "on") void tell(button, { kind: "power on" });
    if (button.dataset.wake === "off") void tell(button, { kind: "power off" });
    if (button.dataset.wake === "approve") void approve(button);
    if (button.dataset.wake === "stage") void tell(button, { kind: "noted", about: button.dataset.about, words: button.dataset.words });
  });
}

/** @param {HTMLElement} button @param {Record<string, unknown>} fields */
async function tell(button, fields) {
  if (!named()) return;
  await keep([/** @type {any} */ ({ ...signature(), key: newKey(), of: listed(page("of")), ...fields })]);
  say(`${button.textContent?.trim()}: kept here.`);
}

/** @param {string} before one person's yes to every question of a list */
async function confirmAll(before) {
  if (!named()) return;
  const looks = all(`[data-look-before="${before}"]`).map((item) => item.dataset.about);
  const of = listed(page("of"));
  await keep(looks.map((about) => /** @type {any} */ ({ ...signature(), key: newKey(), kind: "confirmed", about, of })));
  say("Kept here. A second person answers too.");
}

/** @param {HTMLButtonElement} button */
async function approve(button) {
  const field = /** @type {HTMLInputElement | null} */ (one("input", button.parentElement ?? document));
  if (!named()) return;
  const words = field?.value.trim() ?? "";
  if (!words) {
    field?.focus();
    say("Say in a few words why this reading is all right.");
    return;
  }
  const of = listed(button.dataset.of);
  await keep([/** @type {any} */ ({ ...signature(), key: newKey(), kind: "approved", about: button.dataset.about, of, words })]);
  if (field) field.value = "";
}

/** @param {HTMLFormElement} form @param {boolean} open whether the meter shows no end of ohms */
async function measured(form, open) {
  if (!named()) return;
  const field = /** @type {HTMLInputElement} */ (form.elements.namedItem("value"));
  const unit = /** @type {HTMLSelectElement} */ (form.elements.namedItem("unit"));
  const number = Number(field.value.trim().replace(",", "."));
  if (!open && (field.value.trim() === "" || !Number.isFinite(number))) {
    field.focus();
    say("Write what the meter shows, with its sign.");
    return;
  }
  const about = form.dataset.about;
  const value = number * (TIMES[unit.value] ?? 1);
  const told = open ? { words: "open" } : { value, unit: form.dataset.unit };
  judge(form, open ? Infinity : value);
  await keep([/** @type {any} */ ({ ...signature(), key: newKey(), kind: "measured", about, of: listed(form.dataset.of), ...told })]);
  field.value = "";
}

/**
 * Say at once what a reading tells, by the bounds that the laptop sent along; its own word follows.
 * @param {HTMLFormElement} form
 * @param {number} value
 */
function judge(form, value) {
  const row = /** @type {HTMLElement | null} */ (form.closest(".row"));
  const told = row ? one(".told", row) : null;
  if (!row || !told) return;
  const verdict = verdictOf(row.dataset, value);
  row.dataset.verdict = verdict;
  told.textContent = verdict === "stop" ? `Stop. ${row.dataset.then ?? ""}` : `${verdict}. Kept here.`;
}

/**
 * The same rule as the laptop's (proof/as_built/verdicts.py); a test holds the two to each other on every row.
 * @param {Record<string, string | undefined>} bounds what a row says of itself
 * @param {number} value in ohm or volt, Infinity for open
 * @returns {string}
 */
export function verdictOf(bounds, value) {
  const bound = (/** @type {string} */ name, /** @type {number} */ none) => (bounds[name] ? Number(bounds[name]) : none);
  if (value < bound("below", -Infinity) || value > bound("above", Infinity)) return "stop";
  if (bounds.unknown) return "kept for comparison";
  return value >= bound("low", -Infinity) && value <= bound("high", Infinity) ? "good" : "explain";
}

/** Mark the rows whose reading is kept here. */
export async function showKeptRows() {
  const rows = new Set([...(await kept()).map((one) => one.event.about), ...onTheWay().map((event) => event.about)]);
  document.querySelectorAll(".row[data-about]").forEach((row) => {
    row.classList.toggle("is-kept", rows.has(/** @type {HTMLElement} */ (row).dataset.about ?? "-"));
  });
}
