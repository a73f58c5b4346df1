// Ends and Pull: a tap on a lug opens what there is to do at that end; signing keeps it here first.

import { all, listed, newKey, one, page, person, remember, remembered, say } from "./base.js";
import { kept, keep, onTheWay, whyKept } from "./outbox.js";
import { danger, looked, signature, who, working } from "./people.js";

/** @type {HTMLElement | null} */
let held = null;

export function beginEnds() {
  document.addEventListener("click", (event) => {
    const target = /** @type {HTMLElement} */ (event.target);
    const lug = /** @type {HTMLElement | null} */ (target.closest("button.lug"));
    if (lug) open(lug);
    const act = /** @type {HTMLElement | null} */ (target.closest("[data-act]"));
    if (act && held) void sign(act);
    if (target.closest("[data-close]")) sheet()?.close();
    if (target.closest("[data-to-look]")) {
      sheet()?.close();
      one("#look")?.scrollIntoView();
      one("#looked")?.focus();
    }
  });
  document.addEventListener("change", (event) => {
    const box = /** @type {HTMLInputElement} */ (event.target);
    if (box.id === "hide-done") {
      remember("hide done", box.checked ? "yes" : "");
      document.body.classList.toggle("hides-done", box.checked);
    }
  });
  const box = /** @type {HTMLInputElement | null} */ (one("#hide-done"));
  if (box) box.checked = Boolean(remembered("hide done"));
  document.body.classList.toggle("hides-done", Boolean(remembered("hide done")));
  const asked = new URLSearchParams(location.search).get("end");
  const lug = asked ? find(asked) : null;
  if (lug) {
    lug.scrollIntoView({ block: "center" });
    open(lug);
  }
}

/** @returns {HTMLDialogElement | null} */
function sheet() {
  return /** @type {HTMLDialogElement | null} */ (one("#end-sheet"));
}

/** @param {string} name "W12 A" @returns {HTMLElement | null} */
function find(name) {
  return all("button.lug").find((lug) => lug.dataset.name === name) ?? null;
}

/** @param {HTMLElement} lug */
function open(lug) {
  const dialog = sheet();
  if (!dialog) return;
  held = lug;
  working();
  fill(dialog, lug);
  const told = lug.dataset;
  const card = document.getElementById(`card-${told.card}`);
  const place = one("#end-card", dialog);
  if (place) {
    place.replaceChildren();
    if (card instanceof HTMLTemplateElement) place.append(card.content.cloneNode(true));
  }
  const tool = /** @type {HTMLInputElement | null} */ (one("#end-tool", dialog));
  if (tool) tool.value = remembered(`tool ${told.tool ?? ""}`) || (told.tool ?? "");
  dialog.showModal();
  one(".inside", dialog)?.scrollTo(0, 0);
}

/** Let an open sheet go with what has become of its end, of power and of danger meanwhile. */
export function followSheet() {
  const dialog = sheet();
  if (!dialog?.open || !held) return;
  // Its step may have been put in anew; what is gone from this page can't be signed on it.
  const now = find(held.dataset.name ?? "");
  if (now) {
    held = now;
    fill(dialog, now);
  } else {
    dialog.close();
    say(`${held.dataset.name}: somebody else has done this one.`);
  }
}

/**
 * Write what the laptop says of an end, and show what can be signed there now.
 * @param {HTMLElement} dialog
 * @param {HTMLElement} lug
 */
function fill(dialog, lug) {
  const told = lug.dataset;
  for (const [name, value] of Object.entries({
    name: told.name ?? "",
    use: told.use ?? "",
    where: told.where ?? "",
    wire: told.wireWords ?? "",
    standing: told.standing ?? "",
    why: told.why ?? "",
    how: told.how ?? "",
    reminder: told.reminder ?? "",
  })) {
    all(`[data-fill="${name}"]`, dialog).forEach((item) => {
      item.textContent = value;
      item.closest("[data-if-filled]")?.toggleAttribute("hidden", value === "");
    });
  }
  choose(dialog, lug);
}

/**
 * Show what can be signed at this end now.
 * @param {HTMLElement} dialog
 * @param {HTMLElement} lug
 */
function choose(dialog, lug) {
  const pulling = page("page") === "pull";
  const standing = lug.dataset.standing ?? "";
  const waits = standing === "made" || standing === "pulled, not witnessed";
  const locked = lock(lug);
  const making = !pulling && !waits && standing !== "pulled";
  const unlicensed = making ? (lug.dataset.unlicensed ?? "") : "";
  for (const [name, shown] of Object.entries({
    made: making,
    again: !pulling && (waits || standing === "pulled"),
    pulled: waits,
    failed: waits || standing === "pulled",
    "taken back": page("role") === "mentor" && Boolean(lug.dataset.of),
  })) {
    all(`[data-act="${name}"]`, dialog).forEach((button) => {
      button.toggleAttribute("hidden", !shown);
      /** @type {HTMLButtonElement} */ (button).disabled = locked !== "" || (name === "made" && unlicensed !== "");
    });
  }
  const held = one('[data-act="pulled"]', dialog);
  if (held) held.textContent = lug.dataset.hand === "look" ? "It is tight: I looked" : "It held: I pulled";
  const told = one("#end-told", dialog);
  const words = locked || unlicensed || doubt(lug, waits);
  if (told && told.textContent !== words) told.textContent = words;
  one("[data-to-look]", dialog)?.toggleAttribute("hidden", locked !== LOOK_FIRST);
}

const LOOK_FIRST = "Look at the robot first: plug apart, main breaker off.";

/** @param {HTMLElement} lug @returns {string} why nothing can be signed here now, "" where it can */
function lock(lug) {
  if (danger()) return `Stop: danger was told, ${danger()}. Nobody signs before a mentor has said on Hunt that it is over.`;
  if (page("power") === "on") return "Hands off: power was told on. Nobody signs before it is told off and you have looked.";
  if (!who()) return "Say who you are first, at the top of the page.";
  if (lug.classList.contains("is-kept")) return "Kept here. It is sent as soon as the laptop can be reached.";
  return looked() ? "" : LOOK_FIRST;
}

/** @param {HTMLElement} lug @param {boolean} waits for a pull @returns {string} what to think of before signing */
function doubt(lug, waits) {
  if (!waits || person(lug.dataset.maker ?? "") !== person(who())) return "";
  if (lug.dataset.second) return "You made it. On a battery post a second person has to look.";
  return "You made it: let somebody else pull. Alone, it stays \"pulled, not witnessed\".";
}

/** @param {HTMLElement} act */
async function sign(act) {
  const lug = held;
  if (!lug || /** @type {HTMLButtonElement} */ (act).disabled) return;
  if (!looked()) {
    // Power or danger was told while the sheet was open.
    choose(/** @type {HTMLElement} */ (sheet()), lug);
    say(lock(lug));
    return;
  }
  const told = lug.dataset;
  const dialog = sheet();
  const words = /** @type {HTMLInputElement | null} */ (one("#end-words", dialog ?? document));
  const tool = /** @type {HTMLInputElement | null} */ (one("#end-tool", dialog ?? document));
  const of = listed(told.of);
  const name = act.dataset.act ?? "";
  const making = name === "made" || name === "again";
  const again = making && of.length > 0;
  const kind = making ? (again ? "redone" : "made") : name;
  /** @type {any} */
  const event = { ...signature(), key: newKey(), kind, wire: told.wire, end: told.end, of: again ? listed(told.ofAll) : of };
  if (making) {
    event.as_planned = JSON.parse(told.asPlanned ?? "{}");
    event.tool = tool?.value.trim() ?? "";
    remember(`tool ${told.tool ?? ""}`, event.tool);
  }
  if (words?.value.trim()) event.words = words.value.trim();
  dialog?.close();
  await keep([event]);
  if (words) words.value = "";
  working();
  say(`${told.name}: ${kind}, kept here.`);
}

/** @param {{ wire?: string, end?: string }} event @returns {string} the name of its end */
function nameOf(event) {
  return `${event.wire ?? ""} ${event.end ?? ""}`;
}

/** @param {Array<{ wire?: string, end?: string }>} events mark their lugs, and nothing else */
export function markLugs(events) {
  for (const event of events) {
    const lug = event.wire ? find(nameOf(event)) : null;
    lug?.classList.add("is-kept");
    const words = lug ? one(".lug-words", lug) : null;
    if (words) words.textContent = "kept here";
  }
}

/** Mark on the page what this phone keeps and the laptop has not said it has. */
export async function showKept() {
  const waiting = await kept();
  const names = new Set(waiting.map((one) => nameOf(one.event)));
  const sent = new Set(onTheWay().map(nameOf));
  for (const lug of all("button.lug")) {
    const name = lug.dataset.name ?? "";
    lug.classList.toggle("is-kept", names.has(name) || sent.has(name));
    const words = one(".lug-words", lug);
    const told = names.has(name) ? "kept here" : sent.has(name) ? "sent" : (lug.dataset.words ?? "");
    // What says so already is left alone: two hundred lugs that are written anew are laid out anew.
    if (words && words.textContent !== told) words.textContent = told;
  }
  const count = waiting.filter((one) => one.why.length === 0).length;
  document.body.dataset.unsent = count ? "yes" : "no";
  const line = one("#kept-count");
  if (line) {
    // Where the laptop tells every screen of its trouble, this one need not say it again.
    const why = page("trouble") ? "" : whyKept();
    line.textContent = count ? `${count} kept here, not yet on the laptop. ${why}`.trim() : "";
    line.toggleAttribute("hidden", count === 0);
  }
  showRefused(waiting.filter((one) => one.why.length > 0));
  followSheet();
}

/** @param {Array<{ key: string, event: { kind: string, wire?: string, end?: string, about?: string }, why: string[] }>} refused */
function showRefused(refused) {
  const box = one("#refused");
  if (!box) return;
  box.toggleAttribute("hidden", refused.length === 0);
  const list = one("ul", box);
  list?.replaceChildren(
    ...refused.map((one) => {
      const item = document.createElement("li");
      const about = one.event.wire ? `${one.event.wire} ${one.event.end}` : (one.event.about ?? "");
      item.textContent = `${about}, ${one.event.kind}: ${one.why.join(" ")} `;
      const button = document.createElement("button");
      button.type = "button";
      button.className = "plain";
      button.textContent = "Read it, throw it away";
      button.dataset.drop = one.key;
      item.append(button);
      return item;
    }),
  );
}
