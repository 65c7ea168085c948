/** One person at work on this tablet: what is kept for them, what waits to be sent, how the sending goes. */
import { Api } from "#tablet/api.js";
import { Outbox } from "#tablet/outbox.js";
import { recordView } from "#tablet/record.js";
import { Store } from "#tablet/store.js";
import { Sync } from "#tablet/sync.js";

/** @typedef {import("#tablet/types.js").Person} Person */
/** @typedef {import("#tablet/types.js").Entry} Entry */
/** @typedef {import("#tablet/types.js").Receipt} Receipt */
/** @typedef {import("#tablet/types.js").KeptBundle} KeptBundle */
/** @typedef {import("#tablet/record_shapes.js").RecordView} RecordView */
/** @typedef {import("#tablet/sync.js").SyncState} SyncState */

/**
 * @typedef {object} ShiftOptions
 * @property {Person} person
 * @property {string} device
 * @property {string} version Of the app's shell
 * @property {() => Date} now
 * @property {() => void} onChange
 * @property {(state: SyncState) => void} onSync
 */

/** @type {SyncState} */
const AT_REST = {
  phase: "idle", sent: 0, total: 0, bytesSent: 0, bytesTotal: 0, nextTryAt: null, sentence: "",
};

export class Shift {
  /** @type {Map<number, KeptBundle>} */
  bundles = new Map();
  /** @type {Entry[]} In the order they were made */
  entries = [];
  /** @type {SyncState} */
  syncState = AT_REST;
  /** @type {Map<number, Receipt[]>} */
  #receipts = new Map();
  /** @type {Map<number, RecordView>} */
  #records = new Map();
  /** @type {Promise<void>} */
  #reading = Promise.resolve();
  #bundlesChanged = true;
  #again = false;
  #closed = false;
  #onChange;

  /**
   * @param {Store} store
   * @param {ShiftOptions} options
   */
  constructor(store, { person, device, version, now, onChange, onSync }) {
    this.person = person;
    this.store = store;
    this.#onChange = onChange;
    this.outbox = new Outbox(store, { person, now });
    this.api = new Api({ person: person.id, device, app: version, now });
    this.sync = new Sync(store, this.api, {
      now,
      onState: (state) => {
        this.syncState = state;
        onSync(state);
      },
    });
    store.subscribe((change) => {
      if (change.what === "bundles") this.#bundlesChanged = true;
      this.#readAnew();
    });
  }

  /**
   * Open one person's shelf and read what is on it.
   * @param {ShiftOptions} options
   */
  static async open(options) {
    const shift = new Shift(await Store.open(options.person.id), options);
    shift.#readAnew();
    await shift.caughtUp();
    return shift;
  }

  /** Stop sending and let go of the shelf. What is on it stays. */
  close() {
    this.#closed = true;
    this.sync.stop();
    this.store.close();
  }

  /** Wait until what the pages show is what is on the shelf. */
  async caughtUp() {
    let waited;
    do {
      waited = this.#reading;
      await waited;
    } while (waited !== this.#reading);
  }

  /** Entries that no server has acknowledged, refused ones among them. */
  get unsent() {
    return this.entries.length;
  }

  /** @param {number} job */
  unsentOf(job) {
    return this.entries.reduce((count, entry) => count + (entry.job === job ? 1 : 0), 0);
  }

  /**
   * @param {number} job
   * @param {string} stage
   * @param {string} item
   */
  refusedOf(job, stage, item) {
    return this.entries.findLast(
      (one) => one.state === "refused" && one.job === job && one.stage === stage && one.item === item
        && (one.kind === "answer" || one.kind === "photo"),
    );
  }

  /**
   * The last refused entry of a kind that belongs to no item.
   * @param {number} job
   * @param {string} kind
   * @param {string} [stage]
   */
  refusedKind(job, kind, stage = "") {
    return this.entries.findLast(
      (one) => one.state === "refused" && one.job === job && one.kind === kind && one.stage === stage,
    );
  }

  /**
   * A job's record as it stands on this tablet.
   * @param {number} job
   * @returns {RecordView | undefined}
   */
  record(job) {
    const kept = this.bundles.get(job);
    if (!kept) return undefined;
    let view = this.#records.get(job);
    if (!view) {
      const entries = this.entries.filter((entry) => entry.job === job);
      const receipts = this.#receipts.get(job) ?? [];
      view = recordView({ bundle: kept.bundle, entries, receipts, by: this.person.name });
      this.#records.set(job, view);
    }
    return view;
  }

  /**
   * When what is shown was fetched: one job's data, or the oldest of all for job 0.
   * @param {number} job
   * @returns {string} "" where nothing was
   */
  fetchedAt(job) {
    if (job) return this.bundles.get(job)?.fetched_at ?? "";
    const all = [...this.bundles.values()].map((kept) => kept.fetched_at);
    return all.reduce((oldest, at) => (!oldest || Date.parse(at) < Date.parse(oldest) ? at : oldest), "");
  }

  #readAnew() {
    if (this.#again) return;
    this.#again = true;
    this.#reading = this.#reading.then(() => this.#read());
  }

  async #read() {
    this.#again = false;
    if (this.#closed) return;
    try {
      if (this.#bundlesChanged) {
        this.#bundlesChanged = false;
        this.bundles = new Map((await this.store.bundles()).map((kept) => [kept.job, kept]));
      }
      const jobs = [...this.bundles.keys()];
      const [entries, ...receipts] = await Promise.all([
        this.store.entries(), ...jobs.map((job) => this.store.receipts(job)),
      ]);
      this.entries = entries;
      this.#receipts = new Map(jobs.map((job, at) => [job, receipts[at]]));
      this.#records.clear();
    } catch (error) {
      this.#bundlesChanged = true;
      console.error(error);
    }
    this.#onChange();
  }
}
