// What is behind "More" on a phone: it opens without a script, and closes by itself once something else is touched.

import { all, one } from "./base.js";

export function beginMore() {
  document.addEventListener("click", (event) => {
    for (const open of all(".more[open]")) if (!open.contains(/** @type {Node} */ (event.target))) open.removeAttribute("open");
  });
  document.addEventListener("keydown", (event) => {
    const open = event.key === "Escape" ? one(".more[open]") : null;
    open?.removeAttribute("open");
    if (open) one("summary", open)?.focus();
  });
}
