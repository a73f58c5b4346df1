// Starts what a screen needs.

import { page } from "./base.js";
import { beginDrawings, showDone } from "./drawings.js";
import { beginEnds, markLugs, showKept } from "./ends.js";
import { beginHunt, showHunt } from "./hunt.js";
import { showSuspects } from "./hunt_marks.js";
import { begin, watchPage } from "./live.js";
import { drop, markAtOnce, send, watchOutbox } from "./outbox.js";
import { beginPeople, show } from "./people.js";
import { beginWork } from "./bench_work.js";
import { beginRack, fillIn, showKeptBatteries } from "./rack.js";
import { beginWake, showKeptRows } from "./wake.js";

function showAll() {
  show();
  void showKept();
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

beginPeople();
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
void send();
document.body.classList.add("is-ready");
