// Small things that every screen uses: keys, times, who is holding the phone, and finding elements.

/** @returns {string} 32 hexadecimal digits; works without a secure context, where randomUUID does not */
export function newKey() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** @returns {string} this phone's clock in UTC, as 2026-02-07T09:30:00Z */
export function nowUtc() {
  return new Date().toISOString().replace(/\.\d+Z$/, "Z");
}

/**
 * @param {string} time a UTC time
 * @param {boolean} [narrow] where there is room for one of them alone, of another day that day
 * @returns {string} hours and minutes where this phone is, and the day where that is not today
 */
export function clock(time, narrow = false) {
  const at = new Date(time);
  if (Number.isNaN(at.getTime())) return "";
  const minute = at.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
  if (at.toDateString() === new Date().toDateString()) return minute;
  const day = at.toLocaleDateString("en-GB", { day: "numeric", month: "short" });
  return narrow ? day : `${day}, ${minute}`;
}

/**
 * @param {string} selector
 * @param {ParentNode} [root]
 * @returns {HTMLElement[]}
 */
export function all(selector, root = document) {
  return /** @type {HTMLElement[]} */ (Array.from(root.querySelectorAll(selector)));
}

/**
 * @param {string} selector
 * @param {ParentNode} [root]
 * @returns {HTMLElement | null}
 */
export function one(selector, root = document) {
  return root.querySelector(selector);
}

/** @param {string} name @returns {string} what the page says of itself */
export function page(name) {
  return document.body.dataset[name] ?? "";
}

/** @param {string | undefined} text @returns {string[]} the words of a list in an attribute */
export function listed(text) {
  return (text ?? "").split(" ").filter(Boolean);
}

/** @param {string} name @returns {string} what this phone remembers; "" where it may not remember anything */
export function remembered(name) {
  try {
    return localStorage.getItem(`loomwright ${name}`) ?? "";
  } catch {
    return "";
  }
}

/** @param {string} name @param {string} value */
export function remember(name, value) {
  try {
    localStorage.setItem(`loomwright ${name}`, value);
  } catch {
    // A browser that keeps nothing asks again next time.
  }
}

/**
 * The same rule as the laptop's (records/people.py): letters and digits alone, in one case and width.
 * @param {string} name initials or a nickname
 * @returns {string} as people are told apart by
 */
export function person(name) {
  return name.normalize("NFKC").toLowerCase().toUpperCase().normalize("NFKC").replace(/[^\p{L}\p{N}]/gu, "");
}

/** @param {string} words say something to everybody, readers that speak included */
export function say(words) {
  const line = one("#said");
  if (line) line.textContent = words;
}
