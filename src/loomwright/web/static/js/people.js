// Who holds this phone, and whether they have looked at the robot: asked at the start of the work and after a pause.

import { all, clock, listed, newKey, nowUtc, one, page, person, remember, remembered, say } from "./base.js";
import { asksOnly, connected } from "./live.js";
import { keep } from "./outbox.js";

/** What each sheet's copy of the strip was made from. */
const copied = new WeakMap();
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

/** @returns {number} so long without a sign of work is a pause [ms] */
export function pauseMs() {
  return Number(page("pause")) * 1000;
}

/** @returns {string} where this phone remembers that whoever holds it looked; nobody looks for another */
function place() {
  return `${page("robot")} ${person(who())}`;
}

/** @returns {string} the danger that is open, by the laptop or by what is kept here; "" where there is none */
export function danger() {
  return page("danger") || page("dangerKept");
}

/** @returns {boolean} whether whoever holds this phone looked at the robot during this session of work */
export function looked() {
  const at = Number(remembered(`looked ${place()}`));
  // Of the power events and dangers that this look knew of; another one makes it worthless.
  const same = remembered(`looked of ${place()}`) === page("of");
  return Boolean(at) && Date.now() - at < pauseMs() && same && page("power") !== "on" && !danger();
}

/** @returns {string} why nobody can say now that they looked, "" where they can */
export function whyNoLook() {
  if (danger()) return "Danger: hands off, until a mentor has cleared it on Hunt. Nobody looks before that.";
  const on = page("power") === "on" && page("page") !== "hunt";
  return on ? "Somebody told that power is on. Main breaker off, plug apart, and tell it on Wake-up; then look." : "";
}

/** Every sign of work puts the pause off. */
export function working() {
  if (looked()) remember(`looked ${place()}`, String(Date.now()));
}

/** @returns {boolean} whether somebody has said who they are; asks where nobody has */
export function named() {
  if (who()) return true;
  askWho();
  say("Say who you are first.");
  return false;
}

export function beginPeople() {
  document.addEventListener("submit", (event) => {
    const form = /** @type {HTMLFormElement} */ (event.target);
    if (form.id === "who-form") {
      event.preventDefault();
      const field = /** @type {HTMLInputElement} */ (form.elements.namedItem("who"));
      remember("who", field.value.trim());
      form.hidden = true;
      show();
    }
  });
  document.addEventListener("click", (event) => {
    const button = /** @type {HTMLElement} */ (event.target).closest("button");
    if (button?.id === "looked") void haveLooked();
    if (button?.id === "who-change") askWho();
    if (button?.id === "leave") void leave();
    if (button?.id === "stay") one("#leave-form")?.setAttribute("hidden", "");
  });
  show();
}

/** Whoever joined under a name is that person until they leave; at the laptop itself a name is only written. */
function askWho() {
  const form = one(page("joined") ? "#leave-form" : "#who-form");
  form?.removeAttribute("hidden");
  form?.scrollIntoView({ block: "center" });
  const field = /** @type {HTMLInputElement | null} */ (one("#who-field"));
  if (field && !page("joined")) {
    field.value = who();
    field.select();
  }
  one(page("joined") ? "#leave" : "#who-field")?.focus();
}

/** End this phone's session: somebody else joins, under their own name. */
async function leave() {
  const told = one("#leave-told");
  try {
    const headers = { "Content-Type": "application/json", "X-Bench": "1" };
    const answer = await fetch("/api/v1/leave", { method: "POST", headers, body: "{}", credentials: "same-origin" });
    // Whoever is out already has nothing to leave.
    if (!answer.ok && answer.status !== 401) throw new Error(String(answer.status));
    location.assign(`/join?to=${encodeURIComponent(location.pathname)}`);
  } catch {
    if (told) told.textContent = "The laptop can't be reached. Somebody else can join only where it can.";
  }
}

async function haveLooked() {
  if (!named()) return;
  if (whyNoLook()) {
    show();
    say(whyNoLook());
    return;
  }
  await before();
  const of = listed(page("of"));
  const looks = all("#looks [data-look]").map((item) => item.dataset.look ?? "");
  await keep(looks.map((about) => ({ ...signature(), key: newKey(), kind: "confirmed", about, of })));
  remember(`looked of ${place()}`, page("of"));
  remember(`looked ${place()}`, String(Date.now()));
  show();
}

/** Show who this is, and what is known of the robot's state: what people said, never more. */
export function show() {
  const name = who();
  all("[data-who]").forEach((item) => (item.textContent = name || "nobody yet"));
  const fresh = looked();
  document.body.classList.toggle("has-looked", fresh);
  document.body.classList.toggle("is-alone", !connected());
  document.body.classList.toggle("is-crowded", asksOnly());
  one("#look")?.toggleAttribute("hidden", fresh);
  const button = /** @type {HTMLButtonElement | null} */ (one("#looked"));
  if (button) button.disabled = Boolean(whyNoLook());
  tellWhy("#looked-not", whyNoLook());
  for (const item of all("time[datetime]:not([data-here])")) {
    item.textContent = clock(/** @type {HTMLTimeElement} */ (item).dateTime, Boolean(item.closest(".lug")));
    item.dataset.here = "yes";
  }
  copyState();
}

/** What the strip says of the robot, put into every sheet: a sheet lies over the page and its strip. */
function copyState() {
  const strip = one("#strip");
  const told = strip?.innerHTML ?? "";
  for (const copy of all("[data-strip]")) {
    if (copied.get(copy) === told) continue;
    copied.set(copy, told);
    copy.replaceChildren(...Array.from(strip?.children ?? [], (item) => item.cloneNode(true)));
    for (const item of all("[id]", copy)) item.removeAttribute("id");
    for (const item of all("[data-part]", copy)) item.removeAttribute("data-part");
  }
}

/** @param {string} place @param {string} words say there why something is locked, and nothing where it is not */
export function tellWhy(place, words) {
  for (const line of all(place)) {
    line.toggleAttribute("hidden", words === "");
    if (line.textContent !== words) line.textContent = words;
  }
}

/** @param {HTMLElement[]} controls @param {boolean} locked */
export function lock(controls, locked) {
  for (const control of controls) /** @type {HTMLButtonElement} */ (control).disabled = locked;
}
