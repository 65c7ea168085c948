/** What happens to entries inside one transaction of the shelf. */
import { StoreError } from "#tablet/store_error.js";

/** @typedef {import("#tablet/types.js").Entry} Entry */
/** @typedef {import("#tablet/types.js").Receipt} Receipt */
/** @typedef {Omit<Entry, "seq" | "state" | "refusal" | "attempts">} EntryDraft */
/** @typedef {Omit<Receipt, "job" | "sent" | "outcome"> & {outcome: string}} EntryResult What the server says of an entry */
/** @typedef {import("#tablet/db.js").ShelfSchema} ShelfSchema */
/**
 * @typedef {import("idb").IDBPTransaction<
 *   ShelfSchema, ("entries" | "photos" | "facts" | "receipts")[], "readwrite"
 * >} EntryTransaction
 */

/** @type {("entries" | "photos" | "facts" | "receipts")[]} */
export const ENTRY_STORES = ["entries", "photos", "facts", "receipts"];

/**
 * @param {EntryDraft} draft
 * @param {ArrayBuffer | null} bytes
 */
export function checkBytes(draft, bytes) {
  if (draft.photo && bytes?.byteLength !== draft.photo.size) {
    throw new StoreError("photo_missing", "The photo did not get into the tablet whole. Take it again.");
  }
}

/**
 * Put an entry with its photo and the next number. What is there already is left as it is.
 *
 * @param {EntryTransaction} tx
 * @param {EntryDraft} draft
 * @param {ArrayBuffer | null} bytes
 * @returns {Promise<Entry>}
 */
export async function putEntry(tx, draft, bytes) {
  const entries = tx.objectStore("entries");
  const there = await entries.get(draft.entry);
  if (there) return there;
  const facts = tx.objectStore("facts");
  // From the database, as another page of this tablet may be saving too.
  const seq = Number((await facts.get("last_seq"))?.value ?? 0) + 1;
  await facts.put({ name: "last_seq", value: seq });
  /** @type {Entry} */
  const entry = { ...draft, seq, state: "waiting", refusal: null, attempts: 0 };
  if (bytes) await tx.objectStore("photos").put({ entry: entry.entry, bytes });
  await entries.put(entry);
  return entry;
}

/**
 * Do what the server said of one entry; what is not on the shelf is not touched.
 *
 * @param {EntryTransaction} tx
 * @param {EntryResult} result
 * @returns {Promise<"acknowledged" | "refused" | "">} What was done
 */
export async function settleEntry(tx, result) {
  const entries = tx.objectStore("entries");
  const entry = await entries.get(result.entry);
  if (!entry) return "";
  const { outcome } = result;
  if (outcome === "accepted" || outcome === "late") {
    await tx.objectStore("receipts").put(receiptOf(entry, result, outcome));
    await removeEntry(tx, entry.entry);
    return "acknowledged";
  }
  if (outcome !== "refused") return "";
  const refusal = { code: result.code, sentence: result.sentence };
  await entries.put({ ...entry, state: "refused", refusal, attempts: entry.attempts + 1 });
  return "refused";
}

/**
 * @param {Entry} entry
 * @param {EntryResult} result
 * @param {"accepted" | "late"} outcome
 * @returns {Receipt}
 */
function receiptOf(entry, result, outcome) {
  const { code, sentence, verdict, differs, said, margin, received_at } = result;
  return { entry: entry.entry, job: entry.job, sent: entry, outcome, code, sentence, verdict, differs, said, margin,
    received_at };
}

/**
 * @param {EntryTransaction} tx
 * @param {string} entry
 */
export async function removeEntry(tx, entry) {
  await tx.objectStore("photos").delete(entry);
  await tx.objectStore("entries").delete(entry);
}

/**
 * @param {EntryTransaction} tx
 * @param {string} entry
 * @returns {Promise<Entry>}
 */
export async function refusedEntry(tx, entry) {
  const found = await tx.objectStore("entries").get(entry);
  if (!found) throw new StoreError("no_such_entry", "This entry has been sent or corrected meanwhile.");
  if (found.state !== "refused") {
    throw new StoreError("not_refused", "This entry still waits to be sent. Enter a new one instead.");
  }
  return found;
}

/**
 * @param {EntryTransaction} tx
 * @param {Entry} entry
 */
export async function waitAgain(tx, entry) {
  await tx.objectStore("entries").put({ ...entry, state: "waiting", refusal: null });
}
