// Plate and Spine: what is done is drawn on them, and a tap on a thing lists its ends.

import { all, one } from "./base.js";

export function beginDrawings() {
  document.addEventListener("click", (event) => {
    const thing = /** @type {Element} */ (event.target).closest("svg [data-about]");
    if (thing && one("#drawing")?.contains(thing)) list(/** @type {HTMLElement} */ (thing));
  });
  showDone();
}

const SVG = "http://www.w3.org/2000/svg";
/** How far the ticks of what is to be made again reach past their wire, both sides together [mm on the sheet]. */
const TICKS_MM = 1.4;

/** What stands first is told of a thing whose wires are not equally far. */
const WORST = ["redo", "to do", "made", "pulled, not witnessed", "pulled"];

/** Give each wire on the drawing the class of its standing. */
export function showDone() {
  const standings = new Map(all("#drawing-ends [data-wire]").map((item) => [item.dataset.wire, item.dataset.wireStanding]));
  for (const group of all("#drawing svg [data-about]")) {
    const found = wiresOf(group).map((wire) => standings.get(wire));
    const standing = WORST.find((word) => found.includes(word));
    if (standing && group.getAttribute("data-standing") !== standing) {
      group.setAttribute("data-standing", standing);
      mark(group, standing);
    }
  }
}

/**
 * Draw how far a wire is into its line: gaps and ticks, which grey tells apart, too.
 * @param {HTMLElement} group a wire of the Spine, whose line is a rectangle, or a run of the Plate
 * @param {string} standing
 */
function mark(group, standing) {
  for (const old of all(":scope > .standing-mark", group)) old.remove();
  const lines = Array.from(group.querySelectorAll(":scope > polyline"));
  const bar = /** @type {SVGRectElement | null} */ (group.querySelector(":scope > rect:not([rx])"));
  const line = lines[0]?.cloneNode(false) ?? (bar ? along(bar) : null);
  if (!(line instanceof Element)) return;
  const across = bar ? Math.min(bar.width.baseVal.value, bar.height.baseVal.value) : 0;
  const wide = Math.max(across + 0.4, ...lines.map((held) => Number(held.getAttribute("stroke-width"))));
  const marks = document.createElementNS(SVG, "g");
  marks.setAttribute("class", "standing-mark");
  for (const [name, width] of /** @type {Array<[string, number]>} */ ([["gaps", wide], ["ticks", wide + TICKS_MM]])) {
    const copy = /** @type {Element} */ (line.cloneNode(false));
    copy.removeAttribute("stroke");
    copy.setAttribute("class", name);
    copy.setAttribute("stroke-width", String(width));
    marks.append(copy);
  }
  // Over the wire, under its lugs and labels.
  (lines.at(-1) ?? bar)?.after(marks);
}

/** @param {SVGRectElement} bar @returns {Element} the line in its middle, along its longer side */
function along(bar) {
  const { x, y, width, height } = bar.getBBox();
  const line = document.createElementNS(SVG, "polyline");
  const flat = width > height;
  const ends = flat ? [[x, y + height / 2], [x + width, y + height / 2]] : [[x + width / 2, y], [x + width / 2, y + height]];
  line.setAttribute("points", ends.map((end) => end.join(",")).join(" "));
  return line;
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
