// Plate and Spine: what is done is drawn on them, and a tap on a thing lists its ends.

import { all, one } from "./base.js";

export function beginDrawings() {
  document.addEventListener("click", (event) => {
    const thing = /** @type {Element} */ (event.target).closest("svg [data-about]");
    if (thing && one("#drawing")?.contains(thing)) list(/** @type {HTMLElement} */ (thing));
  });
  showDone();
}

/** What stands first is told of a thing whose wires are not equally far. */
const WORST = ["redo", "to do", "made", "pulled, not witnessed", "pulled"];

/** Give each wire on the drawing the class of its standing. */
export function showDone() {
  const standings = new Map(all("#drawing-ends [data-wire]").map((item) => [item.dataset.wire, item.dataset.wireStanding]));
  for (const group of all("#drawing svg [data-about]")) {
    const found = wiresOf(group).map((wire) => standings.get(wire));
    const standing = WORST.find((word) => found.includes(word));
    if (standing) group.setAttribute("data-standing", standing);
  }
}

/** @param {HTMLElement} group @returns {string[]} the wires of a thing; a run on the Plate names them in its title */
function wiresOf(group) {
  const told = group.classList.contains("run") ? one("title", group)?.textContent?.split(": ").pop() : group.dataset.about;
  return (told ?? "").split(", ");
}

/** @param {HTMLElement} thing a wire, a run or a device */
function list(thing) {
  const about = thing.dataset.about ?? "";
  const use = about.toLowerCase();
  const wires = wiresOf(thing);
  let found = 0;
  for (const item of all("#drawing-ends li")) {
    const told = item.dataset;
    const here = wires.includes(told.wire ?? "") || told.device === about || told.use?.toLowerCase() === use;
    item.toggleAttribute("hidden", !here);
    found += Number(here);
  }
  const title = one("#drawing-title");
  if (title) title.textContent = found ? `${about}: ${found} ends` : `${about}: no ends of its own`;
  one("#drawing-ends")?.scrollIntoView({ block: "nearest" });
}
