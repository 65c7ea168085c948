/**
 * White space and letters as the server counts them, which browsers do a little differently.
 *
 * @module
 */

const SPACES = "\\t-\\r\\x1c-\\x20\\x85\\xa0\\u1680\\u2000-\\u200a\\u2028\\u2029\\u202f\\u205f\\u3000";
const RUNS = new RegExp(`[${SPACES}]+`, "g");
const ENDS = new RegExp(`^[${SPACES}]+|[${SPACES}]+$`, "g");

/** For use inside brackets of a pattern. */
export const SPACE_CLASS = SPACES;

/** @param {string} text */
export function stripped(text) {
  return text.replace(ENDS, "");
}

/** @param {string} text */
export function withSingleSpaces(text) {
  return text.replace(RUNS, " ");
}

/** @param {string} text */
export function withoutCase(text) {
  return text.toUpperCase().toLowerCase();
}

/** @param {string} text */
export function characters(text) {
  return [...text].length;
}
