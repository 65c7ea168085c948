/** When an entry cannot be saved it stays where it was typed, and a sentence says what to do. */
import { offerAgain } from "./photos.js";

const NO_SIGNAL = "Not saved: no connection. Your entry is still here; press the button again when there is a signal.";
const SIGNED_OUT = "Not saved: you are signed out. Sign in again in another tab, come back here and press the button again.";
const REFUSED = "Not saved: the server did not take it. Your entry is still here; try again, and ring the office if it stays so.";
const TOO_BIG = "Not saved: it is too large. Set the camera to a smaller picture and take it again.";

function refuse(from, sentence) {
  const place = from.closest(".item")?.querySelector(".refusal");
  if (!place) return;
  place.textContent = sentence;
  place.hidden = false;
  const photo = from.closest(".photo-form");
  if (photo) offerAgain(photo);
}

for (const name of ["htmx:sendError", "htmx:timeout", "htmx:sendAbort"]) {
  document.addEventListener(name, (event) => refuse(event.target, NO_SIGNAL));
}

document.addEventListener("htmx:responseError", (event) => {
  const { status } = event.detail.xhr;
  refuse(event.target, status === 413 ? TOO_BIG : status === 401 || status === 403 ? SIGNED_OUT : REFUSED);
});

document.addEventListener("htmx:beforeSwap", (event) => {
  const { responseURL } = event.detail.xhr;
  // A login that ran out answers with the sign-in page, which must not land in the middle of an item.
  if (!responseURL || !new URL(responseURL).pathname.startsWith("/account/")) return;
  event.detail.shouldSwap = false;
  refuse(event.detail.requestConfig.elt, SIGNED_OUT);
});

// Signing in again, in another tab, gives a new token; what this page was loaded with is then worth nothing.
document.addEventListener("htmx:configRequest", (event) => {
  const token = document.cookie.match(/(?:^|; )csrftoken=([^;]+)/)?.[1];
  if (!token || event.detail.verb !== "post") return;
  event.detail.headers["X-CSRFToken"] = token;
  event.detail.parameters.csrfmiddlewaretoken = token;
});

window.addEventListener("beforeunload", (event) => {
  const typed = [...document.querySelectorAll(".measure input[name=answer]")].some((field) => field.value.trim());
  if (typed) event.preventDefault();
});
