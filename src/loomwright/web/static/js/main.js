// Starts what a screen needs.

import { page } from "./base.js";
import { beginDrawings, showDone } from "./drawings.js";
import { beginEnds, followSheet, markLugs, showKept } from "./ends.js";
import { beginHunt, showHunt } from "./hunt.js";
import { showSuspects } from "./hunt_marks.js";
import { begin, refresh, watchPage } from "./live.js";
import { beginMore } from "./more.js";
import { drop, kept, markAtOnce, send, watchOutbox } from "./outbox.js";
import { beginPeople, show } from "./people.js";
import { beginWork, showTrace } from "./bench_work.js";
import { beginRack, fillIn, showKeptBatteries } from "./rack.js";
import { beginWake, showKeptRows, showLocks } from "./wake.js";

/** Answers grow old without anybody's doing: the screen that rests on them comes for the news. */
const OLDER_MS = 30000;

function showAll() {
  showState();
  followSheet();
  void showKept();
  void mindDanger();
  if (page("page") === "wake-up") void showKeptRows();
  if (page("page") === "rack") {
    fillIn();
    void showKeptBatteries();
  }
  if (page("page") === "hunt") void showHunt();
  if (page("page") === "plate" || page("page") === "spine") {
    showDone();
    showSuspects();
  }
}

function showState() {
  show();
  if (page("page") === "wake-up") showLocks();
  if (page("page") === "trace") showTrace();
}

/** A danger that is kept on this phone locks it as one that the laptop knows of. */
async function mindDanger() {
  const events = /** @type {any[]} */ ((await kept()).map((item) => item.event));
  const over = new Set(events.filter((event) => event.kind === "cleared").flatMap((event) => event.of));
  const open = events.filter((event) => event.kind === "danger" && !over.has(event.key)).map((event) => event.words);
  if (open.join("; ") === page("dangerKept")) return;
  document.body.dataset.dangerKept = open.join("; ");
  showState();
}

beginPeople();
beginMore();
beginEnds();
beginWork();
if (page("page") === "wake-up") beginWake();
if (page("page") === "rack") beginRack();
if (page("page") === "hunt") beginHunt();
if (page("page") === "plate" || page("page") === "spine") beginDrawings();
document.addEventListener("click", (event) => {
  const button = /** @type {HTMLElement} */ (event.target).closest("[data-drop]");
  if (button) void drop(/** @type {HTMLElement} */ (button).dataset.drop ?? "");
});
markAtOnce(markLugs);
watchOutbox(showAll);
watchPage(showAll);
begin();
showAll();
if (page("page") === "wake-up") setInterval(() => document.hidden || void refresh(), OLDER_MS);
void send();
document.body.classList.add("is-ready");
