/** How long to leave a server or a line alone that did not answer. */

const LEAST = 2_000;
const MOST = 5 * 60_000;

/**
 * Return the milliseconds until the next try: longer with every failure, and never the same on two tablets.
 *
 * @param {number} failures In a row, from 1
 * @param {() => number} random From 0 up to 1
 * @param {number} [asked] Seconds the server asks for
 */
export function nextDelay(failures, random, asked = 0) {
  const ceiling = Math.min(MOST, LEAST * 2 ** Math.min(failures, 10));
  return Math.max(LEAST + random() * (ceiling - LEAST), Math.min(asked * 1000, MOST));
}
