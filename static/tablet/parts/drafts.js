/** What was typed, taken or drawn and is not saved yet. It outlasts going to another page of the app. */

export class Drafts {
  /** @type {Map<string, string>} */
  #texts = new Map();
  /** @type {Map<string, File>} */
  #files = new Map();
  /** @type {Set<string>} */
  #inks = new Set();
  /** @type {Map<string, string>} */
  #refusals = new Map();
  /** @type {Set<string>} */
  #busy = new Set();

  /** @param {string} key */
  text(key) {
    return this.#texts.get(key) ?? "";
  }

  /** @param {string} key */
  has(key) {
    return this.#texts.has(key);
  }

  /**
   * @param {string} key
   * @param {string} text
   */
  setText(key, text) {
    if (text === "") this.#texts.delete(key);
    else this.#texts.set(key, text);
  }

  /** @param {string} key */
  file(key) {
    return this.#files.get(key);
  }

  /**
   * @param {string} key
   * @param {File} file
   */
  setFile(key, file) {
    this.#files.set(key, file);
  }

  /**
   * @param {string} key
   * @param {boolean} drawn
   */
  setInk(key, drawn) {
    if (drawn) this.#inks.add(key);
    else this.#inks.delete(key);
  }

  /** @param {string} key */
  refusal(key) {
    return this.#refusals.get(key) ?? "";
  }

  /**
   * @param {string} key
   * @param {string} sentence
   */
  refuse(key, sentence) {
    this.#refusals.set(key, sentence);
  }

  /** @param {string} key */
  busy(key) {
    return this.#busy.has(key);
  }

  /**
   * Do something once at a time; what it refuses is told beside the key.
   * @param {string} key
   * @param {() => Promise<void>} work
   * @returns {Promise<boolean>} Whether it was done; what was typed is put away then
   */
  async during(key, work) {
    if (this.#busy.has(key)) return false;
    this.#busy.add(key);
    this.#refusals.delete(key);
    try {
      await work();
      this.drop(key);
      return true;
    } catch (error) {
      this.#refusals.set(key, sentenceOf(error));
      return false;
    } finally {
      this.#busy.delete(key);
    }
  }

  /** @param {string} key */
  drop(key) {
    this.#texts.delete(key);
    this.#files.delete(key);
    this.#inks.delete(key);
    this.#refusals.delete(key);
  }

  /** @returns {boolean} Whether leaving now would lose something */
  any() {
    return this.#texts.size + this.#files.size + this.#inks.size > 0;
  }
}

const UNKNOWN = "This could not be saved. What you entered is still here: press the button once more.";

/** @param {unknown} error */
export function sentenceOf(error) {
  if (error instanceof Error && "code" in error && typeof error.code === "string") {
    return "sentence" in error && error.sentence ? String(error.sentence) : error.message;
  }
  console.error(error);
  return UNKNOWN;
}
