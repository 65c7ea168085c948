/** What happens to bundles and receipts inside one transaction of the shelf. */

/** @typedef {import("#tablet/types.js").KeptBundle} KeptBundle */
/** @typedef {import("#tablet/db.js").ShelfSchema} ShelfSchema */
/**
 * @typedef {import("idb").IDBPTransaction<ShelfSchema, ("bundles" | "receipts" | "entries")[], "readwrite">}
 *   BundleTransaction
 */

/** @type {("bundles" | "receipts" | "entries")[]} */
export const BUNDLE_STORES = ["bundles", "receipts", "entries"];

/**
 * Keep a bundle and drop the receipts it holds. One made before the one that is here is not kept.
 *
 * @param {BundleTransaction} tx
 * @param {KeptBundle} kept
 * @param {Iterable<string>} holds Entries of which the server knew when it made the bundle
 * @returns {Promise<boolean>} Whether it was kept
 */
export async function putBundle(tx, kept, holds) {
  const bundles = tx.objectStore("bundles");
  const there = await bundles.get(kept.job);
  if (there && Date.parse(there.bundle.made_at) > Date.parse(kept.bundle.made_at)) return false;
  await bundles.put(kept);
  await removeReceipts(tx, kept.job, holds);
  return true;
}

/**
 * Drop receipts of a job, but those that have something to tell.
 *
 * @param {BundleTransaction} tx
 * @param {number} job
 * @param {Iterable<string>} entries
 */
export async function removeReceipts(tx, job, entries) {
  const receipts = tx.objectStore("receipts");
  for (const entry of entries) {
    const receipt = await receipts.get(entry);
    // The server's sentence is in no bundle: it stays readable as long as the job is on the tablet.
    if (receipt?.job === job && !receipt.sentence && !receipt.differs) await receipts.delete(entry);
  }
}

/**
 * Drop the bundles of all other jobs, and never one with entries that are only here.
 *
 * @param {BundleTransaction} tx
 * @param {Set<number>} keep
 * @returns {Promise<number[]>} The jobs that were dropped
 */
export async function removeBundles(tx, keep) {
  const bundles = tx.objectStore("bundles");
  const receipts = tx.objectStore("receipts");
  const dropped = [];
  for (const job of await bundles.getAllKeys()) {
    if (keep.has(job) || (await tx.objectStore("entries").index("job").count(job))) continue;
    await bundles.delete(job);
    for (const entry of await receipts.index("job").getAllKeys(job)) await receipts.delete(entry);
    dropped.push(job);
  }
  return dropped;
}
