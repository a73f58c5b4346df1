// The suspects of an open hunt on Spine and Plate: lit from behind, outlined by how likely, with their odds.

import { all } from "./base.js";

const SVG = "http://www.w3.org/2000/svg";
/** What is lit: names and terminals of the same thing are drawn on it. */
const LIT = ".wire, .run, .device, .station, .block, .branch";
/** How far a light reaches past what it is behind [mm on the sheet]. */
const WIRE_MM = 0.25;
const DEVICE_MM = 1.8;

/** Put the lights in anew. */
export function showSuspects() {
  for (const old of all("#drawing .lit, #drawing .lit-odds")) old.remove();
  const groups = /** @type {SVGGElement[]} */ (/** @type {unknown} */ (all("#drawing svg [data-about]").filter((group) => group.matches(LIT))));
  for (const item of all("#lit [data-abouts]").reverse()) {
    const abouts = JSON.parse(item.dataset.abouts ?? "[]");
    for (const group of groups.filter((held) => isOf(held, abouts))) light(group, item);
  }
}

/** @param {SVGGElement} group @param {string[]} abouts @returns {boolean} */
function isOf(group, abouts) {
  if (!group.classList.contains("run")) return abouts.includes(group.dataset.about ?? "");
  const wires = (group.querySelector("title")?.textContent?.split(": ").pop() ?? "").split(", ");
  return abouts.some((name) => wires.includes(name));
}

/** @param {SVGGElement} group @param {HTMLElement} item */
function light(group, item) {
  const level = item.dataset.level ?? "few";
  const line = group.classList.contains("run") ? group.querySelector("polyline, path") : null;
  const box = group.getBBox();
  if (line) {
    // A run of several suspects keeps the light of the likeliest, which comes last.
    if (group.previousElementSibling?.classList.contains("lit")) group.previousElementSibling.remove();
    const behind = made("g", { class: `lit is-${level}` });
    for (const name of ["casing", "core"]) {
      const copy = /** @type {Element} */ (line.cloneNode(false));
      for (const attribute of ["stroke", "stroke-width"]) copy.removeAttribute(attribute);
      copy.setAttribute("class", name);
      behind.append(copy);
    }
    group.before(behind);
    const points = (line.getAttribute("points") ?? "").split(" ");
    const [x, y] = (points[Math.floor(points.length / 2)] ?? "").split(",").map(Number);
    if (x !== undefined && y !== undefined && !Number.isNaN(y)) odds(group, item, x, y);
    return;
  }
  const wide = group.classList.contains("wire") ? WIRE_MM : DEVICE_MM;
  const size = { x: box.x - wide, y: box.y - wide, width: box.width + 2 * wide, height: box.height + 2 * wide };
  group.before(made("rect", { class: `lit is-${level}`, rx: 0.8, ...size }));
  // A row of the Spine has room on its left alone, a device at its corner, a wire in its middle.
  if (group.matches(".branch")) odds(group, item, box.x - DEVICE_MM, box.y + box.height / 2);
  else if (group.matches(".wire")) odds(group, item, box.x + box.width / 2, box.y + box.height / 2);
  else odds(group, item, box.x + box.width, box.y);
}

/**
 * @param {SVGGElement} group
 * @param {HTMLElement} item
 * @param {number} x where the odds stand
 * @param {number} y
 */
function odds(group, item, x, y) {
  const words = item.dataset.odds ?? "";
  const width = 2 + words.length * 1.75;
  const tag = made("g", { class: "lit-odds" });
  tag.append(made("rect", { x: x - width / 2, y: y - 2.2, width, height: 4.4, rx: 0.8 }));
  const text = made("text", { x, y: y + 1.15, "text-anchor": "middle", "font-size": 3.2, class: "bold" });
  text.textContent = words;
  tag.append(text);
  group.ownerSVGElement?.append(tag);
}

/** @param {string} name @param {Record<string, string | number>} attributes @returns {Element} */
function made(name, attributes) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, String(value));
  return element;
}
