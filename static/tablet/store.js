/**
 * One person's shelf on this tablet: what was entered and waits, what was fetched, what the server said.
 *
 * A method that saves returns only when the tablet's disk has it. Nothing here knows of a network.
 */
import { BUNDLE_STORES, putBundle, removeBundles, removeReceipts } from "#tablet/bundle_shelf.js";
import { openShelf, shelfName } from "#tablet/db.js";
import {
  checkBytes, ENTRY_STORES, putEntry, refusedEntry, removeEntry, settleEntry, waitAgain,
} from "#tablet/entry_shelf.js";

/** @typedef {import("#tablet/types.js").Entry} Entry */
/** @typedef {import("#tablet/types.js").Receipt} Receipt */
/** @typedef {import("#tablet/types.js").KeptBundle} KeptBundle */
/** @typedef {import("#tablet/entry_shelf.js").EntryDraft} EntryDraft */
/** @typedef {import("#tablet/entry_shelf.js").EntryResult} EntryResult */

/**
 * @typedef {object} Change What has changed on the shelf, by this page or another of this tablet
 * @property {"saved" | "settled" | "bundles" | "facts"} what
 * @property {number | null} job
 * @property {boolean} here Whether this page did it
 */

/**
 * @typedef {object} Counts
 * @property {number} waiting
 * @property {number} refused
 * @property {number} photos Photos among both
 * @property {number} bytes Bytes of those photos
 * @property {Map<number, {waiting: number, refused: number}>} jobs
 */

/**
 * @typedef {object} StoreOptions
 * @property {IDBFactory} [factory]
 * @property {() => void} [onBlocked]
 * @property {((name: string) => BroadcastChannel) | null} [channel] How pages of one tablet hear of each other
 */

export class Store {
  #db;
  /** @type {Set<(change: Change) => void>} */
  #listeners = new Set();
  /** @type {BroadcastChannel | null} */
  #channel;

  /**
   * @param {number} personId
   * @param {Awaited<ReturnType<typeof openShelf>>} db
   * @param {BroadcastChannel | null} channel
   */
  constructor(personId, db, channel) {
    this.personId = personId;
    this.#db = db;
    this.#channel = channel;
    channel?.addEventListener("message", (event) => this.#hear({ ...event.data, here: false }));
  }

  /**
   * Open the shelf of one person.
   *
   * @param {number} personId
   * @param {StoreOptions} [options]
   * @returns {Promise<Store>}
   */
  static async open(personId, { channel = (name) => new BroadcastChannel(name), ...options } = {}) {
    const db = await openShelf(personId, options);
    return new Store(personId, db, channel ? channel(shelfName(personId)) : null);
  }

  /**
   * Save an entry and its photo, or neither.
   *
   * @param {EntryDraft} draft
   * @param {ArrayBuffer | null} [bytes] The photo's
   * @returns {Promise<Entry>} As it is on the disk
   */
  async saveEntry(draft, bytes = null) {
    checkBytes(draft, bytes);
    const entry = await this.#db.write(ENTRY_STORES, (tx) => putEntry(tx, draft, bytes));
    this.#tell("saved", entry.job);
    return entry;
  }

  /**
   * Return the entries that are on this tablet, in the order they were made.
   *
   * @param {number} [job] Of this job only
   * @returns {Promise<Entry[]>}
   */
  entries(job) {
    return this.#db.read(["entries"], async (tx) => {
      const entries = tx.objectStore("entries");
      if (job === undefined) return entries.index("seq").getAll();
      return (await entries.index("job").getAll(job)).sort((one, other) => one.seq - other.seq);
    });
  }

  /**
   * @param {string} entry
   * @returns {Promise<Entry | undefined>}
   */
  entry(entry) {
    return this.#db.read(["entries"], (tx) => tx.objectStore("entries").get(entry));
  }

  /** @returns {Promise<Counts>} */
  async counts() {
    /** @type {Counts} */
    const counts = { waiting: 0, refused: 0, photos: 0, bytes: 0, jobs: new Map() };
    for (const entry of await this.entries()) {
      const ofJob = counts.jobs.get(entry.job) ?? { waiting: 0, refused: 0 };
      counts.jobs.set(entry.job, ofJob);
      counts[entry.state] += 1;
      ofJob[entry.state] += 1;
      counts.photos += entry.photo ? 1 : 0;
      counts.bytes += entry.photo?.size ?? 0;
    }
    return counts;
  }

  /**
   * @param {string} entry
   * @returns {Promise<ArrayBuffer | undefined>}
   */
  async photoBytes(entry) {
    return (await this.#db.read(["photos"], (tx) => tx.objectStore("photos").get(entry)))?.bytes;
  }

  /**
   * Do what the server said of entries, all of it or nothing. Entries that are not here are not touched.
   *
   * @param {EntryResult[]} results
   * @returns {Promise<{acknowledged: number, refused: number}>}
   */
  async settle(results) {
    const done = await this.#db.write(ENTRY_STORES, async (tx) => {
      const counted = { acknowledged: 0, refused: 0 };
      for (const result of results) {
        const what = await settleEntry(tx, result);
        if (what) counted[what] += 1;
      }
      return counted;
    });
    if (done.acknowledged || done.refused) this.#tell("settled", null);
    return done;
  }

  /**
   * Take an entry off the tablet for the server's receipt.
   *
   * @param {string} entry
   * @param {Omit<EntryResult, "entry">} receipt
   */
  async acknowledge(entry, receipt) {
    await this.settle([{ ...receipt, entry }]);
  }

  /**
   * Keep the server's refusal with its entry.
   *
   * @param {string} entry
   * @param {{code: string, sentence: string}} refusal
   */
  async refuse(entry, { code, sentence }) {
    await this.settle([resultOf(entry, "refused", code, sentence)]);
  }

  /**
   * Put a corrected entry in the place of a refused one.
   *
   * @param {string} refused
   * @param {EntryDraft} draft
   * @param {ArrayBuffer | null} [bytes]
   * @returns {Promise<Entry>}
   */
  async replaceRefused(refused, draft, bytes = null) {
    checkBytes(draft, bytes);
    const entry = await this.#db.write(ENTRY_STORES, async (tx) => {
      const there = await tx.objectStore("entries").get(draft.entry);
      if (there) return there;
      await refusedEntry(tx, refused);
      await removeEntry(tx, refused);
      return putEntry(tx, draft, bytes);
    });
    this.#tell("saved", entry.job);
    return entry;
  }

  /**
   * Let a refused entry be sent again as it is: what stood against it has been put right elsewhere.
   *
   * @param {string} refused
   */
  async sendAgain(refused) {
    const job = await this.#db.write(ENTRY_STORES, async (tx) => {
      const entry = await refusedEntry(tx, refused);
      await waitAgain(tx, entry);
      return entry.job;
    });
    this.#tell("saved", job);
  }

  /**
   * Let all refused entries be sent again of which something holds.
   *
   * @param {(entry: Entry) => boolean} holds
   */
  async sendAgainWhere(holds) {
    const count = await this.#db.write(ENTRY_STORES, async (tx) => {
      const entries = await tx.objectStore("entries").getAll();
      const again = entries.filter((entry) => entry.state === "refused" && holds(entry));
      for (const entry of again) await waitAgain(tx, entry);
      return again.length;
    });
    if (count) this.#tell("saved", null);
  }

  /**
   * Throw a refused entry away, as its person decided.
   *
   * @param {string} refused
   */
  async discardRefused(refused) {
    const job = await this.#db.write(ENTRY_STORES, async (tx) => {
      const entry = await refusedEntry(tx, refused);
      await removeEntry(tx, refused);
      return entry.job;
    });
    this.#tell("settled", job);
  }

  /**
   * Keep a bundle, and drop the receipts of entries it holds in the same transaction.
   *
   * @param {KeptBundle} kept
   * @param {Iterable<string>} [holds]
   * @returns {Promise<boolean>} false: a later one is here already
   */
  async keepBundle(kept, holds = []) {
    const done = await this.#db.write(BUNDLE_STORES, (tx) => putBundle(tx, kept, holds));
    if (done) this.#tell("bundles", kept.job);
    return done;
  }

  /**
   * @param {number} job
   * @returns {Promise<KeptBundle | undefined>}
   */
  bundle(job) {
    return this.#db.read(["bundles"], (tx) => tx.objectStore("bundles").get(job));
  }

  /** @returns {Promise<KeptBundle[]>} */
  bundles() {
    return this.#db.read(["bundles"], (tx) => tx.objectStore("bundles").getAll());
  }

  /**
   * Drop the bundles of other jobs; one with entries that are only here stays.
   *
   * @param {Iterable<number>} keepIds
   */
  async dropBundles(keepIds) {
    const keep = new Set(keepIds);
    const dropped = await this.#db.write(BUNDLE_STORES, (tx) => removeBundles(tx, keep));
    if (dropped.length) this.#tell("bundles", null);
  }

  /**
   * @param {number} job
   * @returns {Promise<Receipt[]>}
   */
  receipts(job) {
    return this.#db.read(["receipts"], (tx) => tx.objectStore("receipts").index("job").getAll(job));
  }

  /**
   * Drop the receipts of entries a bundle holds.
   *
   * @param {number} job
   * @param {Iterable<string>} entriesInBundle
   */
  async dropReceipts(job, entriesInBundle) {
    await this.#db.write(BUNDLE_STORES, (tx) => removeReceipts(tx, job, entriesInBundle));
    this.#tell("bundles", job);
  }

  /**
   * @param {string} name
   * @returns {Promise<any>} undefined where nothing is known
   */
  fact(name) {
    return this.#db.read(["facts"], async (tx) => (await tx.objectStore("facts").get(name))?.value);
  }

  /**
   * @param {string} name
   * @param {any} value
   */
  async setFact(name, value) {
    await this.#db.write(["facts"], async (tx) => tx.objectStore("facts").put({ name, value }));
    this.#tell("facts", null);
  }

  /**
   * Hear of every change, by whichever page of this tablet.
   *
   * @param {(change: Change) => void} listener
   * @returns {() => void} Ends it
   */
  subscribe(listener) {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  close() {
    this.#listeners.clear();
    this.#channel?.close();
    this.#channel = null;
    this.#db.close();
  }

  /**
   * @param {Change["what"]} what
   * @param {number | null} job
   */
  #tell(what, job) {
    this.#channel?.postMessage({ what, job });
    this.#hear({ what, job, here: true });
  }

  /** @param {Change} change */
  #hear(change) {
    for (const listener of this.#listeners) listener(change);
  }
}

/**
 * @param {string} entry
 * @param {string} outcome
 * @param {string} code
 * @param {string} sentence
 * @returns {EntryResult}
 */
export function resultOf(entry, outcome, code, sentence) {
  return { entry, outcome, code, sentence, verdict: "", differs: false, said: "", margin: "", received_at: "" };
}
