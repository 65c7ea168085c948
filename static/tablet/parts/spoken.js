/** What a screen reader says of what just happened: one region for the whole page, so that it never chatters. */

/** @param {string} sentence */
export function say(sentence) {
  const place = document.getElementById("spoken");
  if (!place) return;
  // The same sentence twice would not be heard the second time.
  place.textContent = place.textContent === sentence ? `${sentence}\u00a0` : sentence;
}
