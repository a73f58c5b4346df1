// Join with the code that was typed, or that the laptop's large code brought along behind the #.
// @ts-check
const form = /** @type {HTMLFormElement} */ (document.getElementById("join"));
const told = /** @type {HTMLElement} */ (document.getElementById("told"));
const code = /** @type {HTMLInputElement} */ (document.getElementById("code"));
const who = /** @type {HTMLInputElement} */ (document.getElementById("who"));

if (location.hash.length > 1) {
  code.value = decodeURIComponent(location.hash.slice(1));
  history.replaceState(null, "", location.pathname + location.search);
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  told.textContent = "";
  try {
    const answer = await fetch("/api/v1/join", {
      method: "POST",
      headers: { "Content-Type": "application/json", "X-Bench": "1" },
      body: JSON.stringify({ code: code.value, who: who.value }),
    });
    const data = await answer.json();
    if (answer.ok) location.assign(document.body.dataset.to ?? "/ends");
    else told.textContent = `${data.what} ${data.fix}`;
  } catch {
    told.textContent = "The laptop can't be reached. Is this phone in the same network?";
  }
});
