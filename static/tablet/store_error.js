/** What the tablet's memory could not do: a code, and a sentence that says what to do. */

export class StoreError extends Error {
  /**
   * @param {string} code
   * @param {string} sentence
   * @param {unknown} [cause]
   */
  constructor(code, sentence, cause) {
    super(sentence, cause === undefined ? undefined : { cause });
    this.name = "StoreError";
    this.code = code;
  }
}

const FULL = "This tablet is full, and this was not saved. Send what waits, or make room on the tablet, then enter"
  + " it again.";
const NEWER = "A newer Fluewright has been at work on this tablet. Close all its pages and open it again; nothing"
  + " that was saved is lost.";
const FORBIDDEN = "This browser keeps nothing on the tablet, as in a private window. Open Fluewright in an ordinary"
  + " window.";
const BROKEN = "The tablet could not save or read this. Close Fluewright and open it again. If that does not help,"
  + " restart the tablet; do not clear the browser's data while work waits to be sent.";

/** @type {Record<string, [string, string]>} */
const BY_NAME = {
  QuotaExceededError: ["tablet_full", FULL],
  VersionError: ["newer_app", NEWER],
  SecurityError: ["storage_forbidden", FORBIDDEN],
};

/**
 * Say in words what a database refused.
 *
 * @param {unknown} error
 * @returns {StoreError}
 */
export function storeErrorOf(error) {
  if (error instanceof StoreError) return error;
  const [code, sentence] = BY_NAME[nameOf(error)] ?? ["storage_broken", BROKEN];
  return new StoreError(code, sentence, error);
}

/** @returns {StoreError} */
export function storageForbidden() {
  return new StoreError("storage_forbidden", FORBIDDEN);
}

/** @returns {StoreError} */
export function newerApp() {
  return new StoreError("newer_app", NEWER);
}

/**
 * @param {unknown} error
 * @returns {string}
 */
export function nameOf(error) {
  return typeof error === "object" && error !== null && "name" in error ? String(error.name) : "";
}
