/** Warns before a filled-in survey is left unsaved, and says so when the plan cannot be redrawn. */
const form = document.querySelector("form[data-guard]");
let touched = false;

form.addEventListener("input", () => { touched = true; });
form.addEventListener("submit", () => { touched = false; });
window.addEventListener("beforeunload", (event) => {
  if (touched) event.preventDefault();
});
document.body.addEventListener("htmx:sendError", () => {
  document.getElementById("plan-note").textContent =
    "No connection: the plan is not redrawn. What you type stays on this page.";
});
