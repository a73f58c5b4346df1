// Plate and Spine: what is done is drawn on them, and a tap on a thing lists its ends.

import { all, one } from "./base.js";

export function beginDrawings() {
  document.addEventListener("click", (event) => {
    const thing = /** @type {Element} */ (event.target).closest("svg [data-about]");
    if (thing && one("#drawing")?.contains(thing)) list(/** @type {HTMLElement} */ (thing).dataset.about ?? "");
  });
  showDone();
}

/** Give each wire on the drawing the class of its standing. */
export function showDone() {
  for (const item of all("#drawing-ends [data-wire]")) {
    const standing = item.dataset.wireStanding ?? "";
    for (const group of all("#drawing svg [data-about]")) {
      if (group.dataset.about === item.dataset.wire) group.setAttribute("data-standing", standing);
    }
  }
}

/** @param {string} about a wire or a device */
function list(about) {
  const words = about.toLowerCase();
  let found = 0;
  for (const item of all("#drawing-ends li")) {
    const here = item.dataset.wire === about || item.dataset.device === about || item.dataset.use?.toLowerCase() === words;
    item.toggleAttribute("hidden", !here);
    found += Number(here);
  }
  const title = one("#drawing-title");
  if (title) title.textContent = found ? `${about}: ${found} ends` : `${about}: no ends of its own`;
  one("#drawing-ends")?.scrollIntoView({ block: "nearest" });
}
