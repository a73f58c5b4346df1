// Who holds this phone, and whether they have looked at the robot: asked at the start of the work and after a pause.

import { all, clock, listed, newKey, nowUtc, one, page, remember, remembered, say } from "./base.js";
import { connected } from "./live.js";
import { keep } from "./outbox.js";

const PAUSE_MS = 30 * 60 * 1000;
/** Of the power-ons that this look knew of; another one makes it worthless. */
let lookedOf = "";
/** What is done first where somebody says that they looked. */
let before = async () => {};

/** @param {() => Promise<void>} work */
export function beforeLooking(work) {
  before = work;
}

/** @returns {string} initials or nickname, "" where nobody has said */
export function who() {
  return page("joined") || remembered("who");
}

/** @returns {Record<string, unknown>} what every event of this phone says */
export function signature() {
  return { key: newKey(), who: who(), measured_at: nowUtc(), build: page("build"), revision: page("revision") };
}

/** @returns {boolean} whether somebody at this phone looked at the robot during this session of work */
export function looked() {
  const at = Number(remembered(`looked ${page("robot")}`));
  return Boolean(at) && Date.now() - at < PAUSE_MS && lookedOf === page("of") && page("power") !== "on";
}

/** Every sign of work puts the pause off. */
export function working() {
  if (looked()) remember(`looked ${page("robot")}`, String(Date.now()));
}

/** @returns {boolean} whether somebody has said who they are; asks where nobody has */
export function named() {
  if (who()) return true;
  one("#who-form")?.removeAttribute("hidden");
  one("#who-form input")?.focus();
  say("Say who you are first.");
  return false;
}

export function beginPeople() {
  lookedOf = remembered(`looked of ${page("robot")}`);
  document.addEventListener("submit", (event) => {
    const form = /** @type {HTMLFormElement} */ (event.target);
    if (form.id === "who-form") {
      event.preventDefault();
      const field = /** @type {HTMLInputElement} */ (form.elements.namedItem("who"));
      remember("who", field.value.trim());
      show();
    }
  });
  document.addEventListener("click", (event) => {
    const button = /** @type {HTMLElement} */ (event.target).closest("button");
    if (button?.id === "looked") void haveLooked();
    if (button?.id === "who-change") {
      one("#who-form")?.removeAttribute("hidden");
      one("#who-form input")?.focus();
    }
  });
  show();
}

async function haveLooked() {
  if (!named()) return;
  await before();
  const of = listed(page("of"));
  const looks = all("#looks [data-look]").map((item) => item.dataset.look ?? "");
  await keep(looks.map((about) => ({ ...signature(), key: newKey(), kind: "confirmed", about, of })));
  lookedOf = page("of");
  remember(`looked of ${page("robot")}`, lookedOf);
  remember(`looked ${page("robot")}`, String(Date.now()));
  show();
}

/** Show who this is, and what is known of the robot's state: what people said, never more. */
export function show() {
  const name = who();
  all("[data-who]").forEach((item) => (item.textContent = name || "nobody yet"));
  one("#who-form")?.toggleAttribute("hidden", Boolean(name));
  const fresh = looked();
  document.body.classList.toggle("has-looked", fresh);
  document.body.classList.toggle("is-alone", !connected());
  one("#look")?.toggleAttribute("hidden", fresh);
  for (const item of all("time[datetime]:not([data-here])")) {
    item.textContent = clock(/** @type {HTMLTimeElement} */ (item).dateTime, Boolean(item.closest(".lug")));
    item.dataset.here = "yes";
  }
}
