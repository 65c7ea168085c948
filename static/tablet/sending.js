/** Everything that waits on the shelf goes to the server, once over; what has no answer stays. */
import { ApiError } from "#tablet/api_error.js";
import { MOST_ENTRIES, nextBatch, nextPhoto } from "#tablet/batches.js";
import { Pace, uploadPhoto } from "#tablet/photo_upload.js";
import { resultOf } from "#tablet/store.js";
import { StoreError } from "#tablet/store_error.js";

/** @typedef {import("#tablet/types.js").Entry} Entry */
/** @typedef {import("#tablet/entry_shelf.js").EntryResult} EntryResult */
/** @typedef {{sent: number, total: number, bytesSent: number, bytesTotal: number}} Progress */
/** @typedef {{kind: "batch", job: number, entries: Entry[]} | {kind: "photo", entry: Entry}} Step */

/** So many faults of the server in a row are the server's, not an entry's. */
const MOST_FAULTS = 3;
/** With these a whole batch is refused for what is in it: it is halved until the one in question is alone. */
const UNREADABLE = new Set([413, 422]);

/**
 * @typedef {object} SendingOptions
 * @property {() => Promise<void>} identify Asks the server who is signed in; throws where it is another person
 * @property {(progress: Progress) => void} onProgress
 * @property {(job: number) => void} onSent Hears of every job of which entries were sent
 * @property {() => void} onThrough Hears whenever something got through
 * @property {() => boolean} stopped
 * @property {number} [largestPart]
 */

export class Sending {
  #store;
  #api;
  #identify;
  #onProgress;
  #onSent;
  #onThrough;
  #stopped;
  #pace;
  /** @type {Set<string>} Photos whose bytes the server has */
  #uploaded = new Set();
  /** @type {Map<number, number>} How many entries a job's batch may hold, where not the most */
  #limits = new Map();
  /** @type {Set<string>} Entries that made the server stumble: they go alone, after the others */
  #suspects = new Set();
  /** @type {Set<string>} What is not tried again in this pass */
  #aside = new Set();
  /** @type {Set<string>} Photos the server asked for in this pass */
  #wanted = new Set();
  /** @type {ApiError | null} What went wrong without stopping the pass */
  #trouble = null;
  #faults = 0;
  #sent = 0;
  /** Bytes of the photos that are up, and of the one that is on its way. */
  #bytesSent = 0;
  #bytesNow = 0;
  /** @type {Entry[]} */
  #waiting = [];

  /**
   * @param {import("#tablet/store.js").Store} store
   * @param {import("#tablet/api.js").Api} api
   * @param {SendingOptions} options
   */
  constructor(store, api, { identify, onProgress, onSent, onThrough, stopped, largestPart }) {
    this.#store = store;
    this.#api = api;
    this.#identify = identify;
    this.#onProgress = onProgress;
    this.#onSent = onSent;
    this.#onThrough = onThrough;
    this.#stopped = stopped;
    this.#pace = new Pace(largestPart);
  }

  /** Begin to count anew: everything was sent. */
  resetProgress() {
    this.#sent = 0;
    this.#bytesSent = 0;
  }

  /** Send until nothing is left that can go. */
  async pass() {
    this.#aside.clear();
    this.#wanted.clear();
    this.#trouble = null;
    this.#faults = 0;
    for (let step = await this.#next(); step && !this.#stopped(); step = await this.#next()) {
      await (step.kind === "batch" ? this.#sendBatch(step) : this.#sendPhoto(step.entry));
    }
    if (this.#trouble) throw this.#trouble;
  }

  /** @returns {Promise<Step | null>} */
  async #next() {
    const entries = await this.#store.entries();
    const waiting = entries.filter((entry) => entry.state === "waiting");
    this.#waiting = waiting;
    this.#report();
    const jobs = await this.#sendableJobs(entries, waiting);
    const withoutSuspects = new Set([...this.#aside, ...this.#suspects]);
    for (const aside of [withoutSuspects, this.#aside]) {
      const alone = aside === this.#aside;
      const step = this.#nextOf(jobs, aside, alone);
      if (step) return step;
    }
    return null;
  }

  /**
   * @param {Map<number, Entry[]>} jobs
   * @param {Set<string>} aside
   * @param {boolean} alone
   * @returns {Step | null}
   */
  #nextOf(jobs, aside, alone) {
    for (const [job, entries] of jobs) {
      const most = alone ? 1 : this.#limits.get(job) ?? MOST_ENTRIES;
      const batch = nextBatch(entries, { uploaded: this.#uploaded, aside, most });
      if (batch.length) return { kind: "batch", job, entries: batch };
    }
    for (const entries of jobs.values()) {
      const entry = nextPhoto(entries, { uploaded: this.#uploaded, aside });
      if (entry) return { kind: "photo", entry };
    }
    return null;
  }

  /**
   * Return what waits by job, without the jobs whose beginning was refused: nothing of them would be taken.
   *
   * @param {Entry[]} entries
   * @param {Entry[]} waiting
   * @returns {Promise<Map<number, Entry[]>>}
   */
  async #sendableJobs(entries, waiting) {
    /** @type {Map<number, Entry[]>} */
    const jobs = new Map();
    for (const entry of waiting) jobs.set(entry.job, [...(jobs.get(entry.job) ?? []), entry]);
    for (const { job, kind, state } of entries) {
      if (kind !== "begin" || state !== "refused" || !jobs.has(job)) continue;
      const begun = (await this.#store.bundle(job))?.bundle.record;
      if (!begun) jobs.delete(job);
    }
    return jobs;
  }

  /** @param {{job: number, entries: Entry[]}} step */
  async #sendBatch({ job, entries }) {
    let results;
    try {
      results = await this.#asOurselves(() => this.#api.sendEntries(job, entries));
    } catch (error) {
      if (!(error instanceof ApiError)) throw error;
      return this.#batchFailed(job, entries, error);
    }
    this.#faults = 0;
    if (this.#limits.has(job)) this.#limits.set(job, Math.min(MOST_ENTRIES, (this.#limits.get(job) ?? 1) * 2));
    const ours = new Set(entries.map((entry) => entry.entry));
    await this.#settle(results.filter((result) => ours.has(result.entry)));
    const named = new Map(results.map((result) => [result.entry, result.outcome]));
    this.#onSent(job);
    this.#onThrough();
    for (const { entry } of entries) {
      this.#suspects.delete(entry);
      this.#lookAt(entry, named.get(entry));
    }
  }

  /**
   * @param {string} entry
   * @param {string | undefined} outcome
   */
  #lookAt(entry, outcome) {
    this.#uploaded.delete(entry);
    if (outcome === "accepted" || outcome === "late" || outcome === "refused") return;
    if (outcome === "wants_photo" && !this.#wanted.has(entry)) {
      this.#wanted.add(entry);
      return;
    }
    this.#putAside(entry, new ApiError({
      code: "no_result",
      sentence: "The office's server did not say what became of an entry. It is sent again.",
      kind: "server",
    }));
  }

  /**
   * @param {number} job
   * @param {Entry[]} entries
   * @param {ApiError} error
   */
  async #batchFailed(job, entries, error) {
    if (error.code === "no_such_job") return this.#refuseJob(job, error);
    const unreadable = UNREADABLE.has(error.status);
    if (entries.length > 1 && (unreadable || error.code === "timeout" || error.status === 500)) {
      this.#limits.set(job, Math.floor(entries.length / 2));
      if (unreadable) return undefined;
    }
    if (entries.length === 1 && error.status === 500) return this.#stumbled(entries[0].entry, error);
    if (!unreadable) throw error;
    if (error.kind === "refused") return this.#refuse([entries[0].entry], error);
    return this.#putAside(entries[0].entry, error);
  }

  /** @param {Entry} entry */
  async #sendPhoto(entry) {
    const bytes = await this.#store.photoBytes(entry.entry);
    if (!bytes) {
      const sentence = "The photo is no longer on this tablet. Take it again.";
      return this.#refuse([entry.entry], { code: "photo_missing", sentence });
    }
    let before = Infinity;
    const onBytes = (/** @type {number} */ sent) => {
      if (sent > before) this.#onThrough();
      before = this.#bytesNow = sent;
      this.#report();
    };
    try {
      await this.#asOurselves(() => uploadPhoto({ api: this.#api, entry, bytes, pace: this.#pace, onBytes }));
      this.#uploaded.add(entry.entry);
      this.#bytesSent += bytes.byteLength;
      this.#faults = 0;
    } catch (error) {
      if (!(error instanceof ApiError)) throw error;
      if (error.code === "no_such_job") return this.#refuseJob(entry.job, error);
      if (error.kind === "refused") return this.#refuse([entry.entry], error);
      if (error.status === 500) return this.#stumbled(entry.entry, error);
      if (error.code === "photo_stuck" || error.status === 413) return this.#putAside(entry.entry, error);
      throw error;
    } finally {
      this.#bytesNow = 0;
    }
    return undefined;
  }

  /**
   * Ask the server; where it does not know the page's token any more, fetch a new one and ask once more.
   *
   * @template Result
   * @param {() => Promise<Result>} ask
   * @returns {Promise<Result>}
   */
  async #asOurselves(ask) {
    try {
      return await ask();
    } catch (error) {
      if (!(error instanceof ApiError) || error.code !== "token") throw error;
    }
    await this.#identify();
    return ask();
  }

  /** @param {EntryResult[]} results */
  async #settle(results) {
    let done;
    try {
      done = await this.#store.settle(results);
    } catch (error) {
      if (!(error instanceof StoreError) || error.code !== "tablet_full") throw error;
      // Room for the receipts, without which nothing could leave a full tablet. A bundle can be fetched again.
      await this.#store.dropBundles([]);
      done = await this.#store.settle(results);
    }
    this.#sent += done.acknowledged + done.refused;
  }

  /**
   * @param {string[]} entries
   * @param {{code: string, sentence: string}} refusal
   */
  async #refuse(entries, { code, sentence }) {
    await this.#settle(entries.map((entry) => resultOf(entry, "refused", code, sentence)));
  }

  /**
   * @param {number} job
   * @param {ApiError} error
   */
  async #refuseJob(job, error) {
    const entries = await this.#store.entries(job);
    await this.#refuse(entries.filter(({ state }) => state === "waiting").map(({ entry }) => entry), error);
  }

  /**
   * @param {string} entry
   * @param {ApiError} error
   */
  #stumbled(entry, error) {
    this.#suspects.add(entry);
    this.#faults += 1;
    if (this.#faults === MOST_FAULTS) throw error;
    this.#putAside(entry, error);
  }

  /**
   * @param {string} entry
   * @param {ApiError} error
   */
  #putAside(entry, error) {
    this.#aside.add(entry);
    this.#trouble = error;
  }

  #report() {
    const unsent = this.#waiting.filter(({ entry }) => !this.#uploaded.has(entry));
    this.#onProgress({
      sent: this.#sent,
      total: this.#sent + this.#waiting.length,
      bytesSent: this.#bytesSent + this.#bytesNow,
      bytesTotal: this.#bytesSent + unsent.reduce((sum, { photo }) => sum + (photo?.size ?? 0), 0),
    });
  }
}
