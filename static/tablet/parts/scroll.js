/** Where somebody looks: kept for the way back, and moved to what they ask for. */

/** @typedef {import("#tablet/places.js").Place} Place */

export class Scroll {
  /** @type {Map<string, number>} */
  #kept = new Map();

  /** @param {Place} place */
  leave(place) {
    this.#kept.set(nameOf(place), window.scrollY);
  }

  /**
   * Lists are found where they were left; a stage begins at its top, or at the item that is asked for.
   * @param {Place} place
   */
  arrive(place) {
    if (place.item) {
      this.show(`item-${place.item}`);
      return;
    }
    const back = place.name === "jobs" || place.name === "job" || place.name === "unsent";
    window.scrollTo(0, (back && this.#kept.get(nameOf(place))) || 0);
    document.getElementById("content")?.focus({ preventScroll: true });
  }

  /** @param {string} id */
  show(id) {
    const element = document.getElementById(id);
    if (!element) return;
    element.scrollIntoView({ block: "start" });
    element.focus({ preventScroll: true });
  }

  /** @param {string} id */
  settle(id) {
    document.getElementById(id)?.scrollIntoView({ block: "nearest" });
  }

  /**
   * @param {string[]} keys
   * @returns {string} The first item below the one in sight, else the first of all
   */
  nextBelow(keys) {
    const at = document.activeElement?.closest("[data-item]")?.getBoundingClientRect().top ?? -1;
    const below = keys.find((key) => (document.getElementById(`item-${key}`)?.getBoundingClientRect().top ?? -1) > at + 1);
    return below ?? keys[0] ?? "";
  }
}

/** @param {Place} place */
function nameOf({ name, job, stage }) {
  return `${name} ${job} ${stage}`;
}
