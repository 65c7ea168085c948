/** Chance that can be had again: the same seed gives the same figures. */

export class Chance {
  #state;

  /** @param {number} seed */
  constructor(seed) {
    this.#state = (seed * 2654435761) >>> 0;
  }

  /** @returns {number} From 0 up to 1 */
  next = () => {
    // Mulberry32, a generator in the public domain.
    this.#state = (this.#state + 0x6d2b79f5) >>> 0;
    let figure = this.#state;
    figure = Math.imul(figure ^ (figure >>> 15), figure | 1);
    figure ^= figure + Math.imul(figure ^ (figure >>> 7), figure | 61);
    return ((figure ^ (figure >>> 14)) >>> 0) / 4294967296;
  };

  /** @param {number} share */
  happens(share) {
    return this.next() < share;
  }

  /** @param {number} least @param {number} most Itself included */
  between(least, most) {
    return least + Math.floor(this.next() * (most - least + 1));
  }

  /** @template T @param {readonly T[]} from @returns {T} */
  pick(from) {
    return from[this.between(0, from.length - 1)];
  }

  /** A seed for a chance of its own, so that what one consumes does not move the other. */
  seed() {
    return Math.floor(this.next() * 4294967296);
  }

  /** @returns {string} A UUID of version 4 */
  uuid() {
    const figure = (/** @type {string} */ one) => (one === "x" ? this.between(0, 15) : this.between(8, 11)).toString(16);
    return "xxxxxxxx-xxxx-4xxx-yxxx-xxxxxxxxxxxx".replace(/[xy]/g, figure);
  }
}
