/**
 * Entries made by an older version of the app, in the shape of today's.
 *
 * Version 1 did not tell which answer it saw nor its verdict, and held a photo's bytes itself. An entry keeps the
 * version it was made in: what it did not tell is not told for it.
 */
import { newerApp } from "#tablet/store_error.js";

/** @typedef {import("#tablet/types.js").Entry} Entry */

export const ENTRY_VERSION = 2;

/**
 * Return an entry in today's shape, and the photo's bytes it may have held.
 *
 * @param {Record<string, any>} old
 * @returns {{entry: Entry, bytes: ArrayBuffer | null}}
 */
export function upgradeEntry(old) {
  if (old.version === ENTRY_VERSION) return { entry: /** @type {Entry} */ (old), bytes: null };
  if (old.version !== 1) throw newerApp();
  const { bytes = null, ...rest } = old;
  const entry = /** @type {Entry} */ ({
    stage: "",
    item: "",
    text: "",
    signature: null,
    photo: null,
    state: "waiting",
    refusal: null,
    attempts: 0,
    ...rest,
    saw: null,
    knew: "",
    verdict: "",
  });
  return { entry, bytes };
}

/**
 * Return an entry as it is sent: what only the tablet needs stays behind.
 *
 * @param {Entry} entry
 * @returns {Record<string, unknown>}
 */
export function sentForm(entry) {
  const { version, kind, stage, item, text, saw, knew, verdict, taken_at, signature, photo } = entry;
  const said = { version, entry: entry.entry, kind, stage, item, text, taken_at, signature, photo };
  if (version === 1) return said;
  const defect = entry.severity ? { severity: entry.severity, place: entry.place ?? "" } : {};
  return { ...said, saw, knew, verdict, ...defect };
}
