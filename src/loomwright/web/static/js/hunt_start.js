// What somebody sees at first: taps that are remembered on this phone until they are told together.

import { all, one, page, remember, remembered } from "./base.js";

/** @returns {Record<string, string>} what was tapped and not told yet: the outcome of each check */
export function chosen() {
  try {
    return JSON.parse(remembered(place()) || "{}");
  } catch {
    return {};
  }
}

export function forgetChosen() {
  remember(place(), "");
  showChosen();
}

/** @returns {string} */
function place() {
  return `seen ${page("robot")} ${page("build")}`;
}

/** @param {HTMLElement} button a thing, or an answer: choose it, or take it out again */
export function choose(button) {
  const check = button.dataset.see ?? "";
  const words = button.dataset.words ?? modeOf(button);
  const held = chosen();
  if (held[check] === words) delete held[check];
  else held[check] = words;
  remember(place(), JSON.stringify(held));
  showChosen();
}

/** @param {HTMLElement} button what the next taps of its group mean */
export function setMode(button) {
  for (const other of all("[data-mode]", button.parentElement ?? document)) {
    other.setAttribute("aria-pressed", String(other === button));
  }
}

/** @param {HTMLElement} button @returns {string} */
function modeOf(button) {
  const group = button.closest("[data-group]") ?? document;
  return one('[data-mode][aria-pressed="true"]', group)?.dataset.mode ?? "";
}

/** @param {HTMLInputElement} field show the things whose name has what is written in it */
export function filter(field) {
  const part = field.value.trim().toLowerCase();
  const group = field.closest("[data-group]") ?? document;
  for (const thing of all(".things [data-see]", group)) {
    thing.hidden = !(thing.dataset.thing ?? "").toLowerCase().includes(part);
  }
}

/** Show on every button what was chosen, and under them how many things are ready to be told. */
export function showChosen() {
  const held = chosen();
  for (const button of all("[data-see]")) {
    const words = held[button.dataset.see ?? ""];
    const mine = words !== undefined && (button.dataset.words ?? words) === words;
    button.setAttribute("aria-pressed", String(mine));
    const said = one("[data-said]", button);
    if (said) said.textContent = mine ? labelOf(button, words ?? "") : "";
  }
  for (const group of all("[data-group]")) {
    const count = new Set(all('[data-see][aria-pressed="true"]', group).map((item) => item.dataset.see)).size;
    const said = one("summary [data-said]", group);
    if (said) said.textContent = count ? `${count} told` : "";
  }
  const names = all('[data-see][aria-pressed="true"]').map(nameOf);
  for (const bar of all(".told-bar")) bar.toggleAttribute("hidden", names.length === 0);
  for (const count of all("[data-seen-count]")) count.textContent = String(names.length);
  for (const list of all("[data-seen-list]")) {
    list.textContent = names.join("; ");
    list.toggleAttribute("hidden", names.length === 0);
  }
}

/** @param {HTMLElement} button @returns {string} what it tells, in words */
function nameOf(button) {
  const thing = button.dataset.thing ?? "";
  return `${thing}: ${button.dataset.label ?? one("[data-said]", button)?.textContent ?? ""}`;
}

/** @param {HTMLElement} button @param {string} words @returns {string} the outcome as its group calls it */
function labelOf(button, words) {
  const modes = all("[data-mode]", button.closest("[data-group]") ?? document);
  return modes.find((mode) => mode.dataset.mode === words)?.dataset.label ?? words;
}
