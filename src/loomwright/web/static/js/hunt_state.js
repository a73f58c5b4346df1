// The state of work that a check needs: what people said of the robot, asked anew at every change of it.

import { all, listed, newKey, one, page, person, remember, remembered, say } from "./base.js";
import { keep } from "./outbox.js";
import { beforeLooking, looked, named, pauseMs, show, signature, who } from "./people.js";

export function beginState() {
  beforeLooking(tellOff);
}

/** @returns {string} where this phone remembers what whoever holds it said of the robot */
function place() {
  return `hunt state ${page("robot")} ${person(who())}`;
}

/** @param {string} state @returns {boolean} whether somebody at this phone looked, and said that the robot is so */
export function isSo(state) {
  if (state === "any") return true;
  if (state === "dead") return looked();
  const [told, of, at] = remembered(place()).split("|");
  const fresh = Date.now() - Number(at) < pauseMs();
  return fresh && page("power") === "on" && told === state && of === page("of");
}

/** @param {string} state ask for what a state of work needs, "" for nothing */
export function askFor(state) {
  const needed = state !== "" && !isSo(state) ? state : "";
  one("#change")?.toggleAttribute("hidden", needed === "");
  for (const item of all("#change [data-change]")) item.toggleAttribute("hidden", item.dataset.change !== needed);
}

/** @param {string} state somebody looked: power is on, and the robot is as this state of work asks */
export async function tellOn(state) {
  if (!named()) return;
  if (page("power") !== "on") await tellPower("power on");
  remember(place(), `${state}|${page("of")}|${Date.now()}`);
  show();
  say("Power is told on. Hands off wires.");
}

/** Whoever looked that the plug is apart has seen that power is off. */
async function tellOff() {
  if (page("page") === "hunt" && page("power") === "on") await tellPower("power off");
}

/** @param {string} kind keep it, and go by it on this page before the laptop has it */
async function tellPower(kind) {
  const key = newKey();
  await keep([/** @type {any} */ ({ ...signature(), key, kind, of: listed(page("of")) })]);
  document.body.dataset.of = key;
  document.body.dataset.power = kind === "power on" ? "on" : "off";
}
