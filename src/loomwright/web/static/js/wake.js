// Wake-up: looks that two people answer, readings judged at once, power told on and off stage by stage.

import { all, listed, newKey, one, page, say } from "./base.js";
import { kept, keep, onTheWay } from "./outbox.js";
import { danger, lock, looked, named, signature, tellWhy, whyNoLook, working } from "./people.js";

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
    const before = /** @type {HTMLElement | null} */ (button.closest("[data-looks]"))?.dataset.looks ?? "";
    if (button.dataset.wake === "confirm") void confirm(before, [button.dataset.about]);
    if (button.dataset.wake === "confirm all") void confirm(before, all(`[data-look-before="${before}"]`).map((item) => item.dataset.about));
    if (button.dataset.wake === "on" && !refused(whyLocked("power"))) void tell(button, { kind: "power on" });
    if (button.dataset.wake === "off") void tell(button, { kind: "power off" });
    if (button.dataset.wake === "approve") void approve(button);
    if (button.dataset.wake === "stage") void tell(button, { kind: "noted", about: button.dataset.about, words: button.dataset.words });
  });
}

/** @param {string} name what is to be done: "measuring", "answers" or "power" @returns {string} what stands in the way */
function whyLocked(name) {
  if (danger()) return `Danger: ${danger()}. Hands off, until a mentor has cleared it on Hunt.`;
  const told = document.body.dataset[`lock${name[0].toUpperCase()}${name.slice(1)}`] ?? "";
  const own = name === "measuring" && !looked() ? "Look at the robot first, at the top of the page." : "";
  return [own, told].filter(Boolean).join(" ");
}

/** @param {string} before @returns {string} why nobody answers the questions before measuring, or before power */
function whyNoAnswer(before) {
  return whyNoLook() || (before === "power" ? whyLocked("answers") : "");
}

/** Lock what is locked, by what the laptop says of the page: a row that somebody types in may be an old one. */
export function showLocks() {
  for (const row of all(".row[data-lock]")) {
    lock(all(".reading-form input, .reading-form select, .reading-form button", row), whyLocked(row.dataset.lock ?? "") !== "");
  }
  lock(all("[data-wake=on], [data-wake=stage]"), whyLocked("power") !== "");
  tellWhy("[data-locked-measuring]", looked() ? "" : whyLocked("measuring"));
  for (const part of all("[data-looks]")) {
    const why = whyNoAnswer(part.dataset.looks ?? "");
    lock(all("button", part), why !== "");
    for (const line of all("[data-locked-looks]", part)) {
      line.toggleAttribute("hidden", why === "");
      line.textContent = why;
    }
  }
}

/** @param {string} why say it, and lock what it locks @returns {boolean} whether there is something in the way */
function refused(why) {
  if (why === "") return false;
  showLocks();
  say(why);
  return true;
}

/** @param {HTMLElement} button @param {Record<string, unknown>} fields */
async function tell(button, fields) {
  if (!named()) return;
  await keep([/** @type {any} */ ({ ...signature(), key: newKey(), of: listed(page("of")), ...fields })]);
  say(`${button.textContent?.trim()}: kept here.`);
}

/** @param {string} before @param {Array<string | undefined>} looks one person's yes to these questions of a list */
async function confirm(before, looks) {
  if (!named() || refused(whyNoAnswer(before))) return;
  const of = [...new Set([...listed(page("of")), ...listed(one(`[data-looks="${before}"]`)?.dataset.of)])];
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
  const row = /** @type {HTMLElement | null} */ (form.closest(".row"));
  if (!named()) return;
  const why = whyLocked(row?.dataset.lock ?? "measuring");
  if (refused(why)) {
    const told = row ? one(".told", row) : null;
    if (told) told.textContent = `Not kept. ${why}`;
    return;
  }
  working();
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
  // A row that stood while somebody typed is an old one: what the page knows of power and danger by now counts, too.
  const of = [...new Set([...listed(form.dataset.of), ...listed(page("of"))])];
  await keep([/** @type {any} */ ({ ...signature(), key: newKey(), kind: "measured", about, of, ...told })]);
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
  // Less than no resistance, and more than a zeroed meter is off: something else drives it.
  const driven = verdict === "stop" && row.dataset.unit === "ohm" && value < 0;
  const then = driven ? one("[data-voltage-then]")?.dataset.voltageThen : row.dataset.then;
  told.textContent = verdict === "stop" ? `Stop. ${then ?? ""}` : `${verdict}. Kept here.`;
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
