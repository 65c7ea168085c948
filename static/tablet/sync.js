/**
 * Keeps sending what waits, in one loop, for as long as the page is open.
 *
 * Whatever happens, what was saved stays on the shelf: a lost line, a server in trouble, an expired login and
 * another person's login only pause the loop.
 */
import { ApiError } from "#tablet/api_error.js";
import { nextDelay } from "#tablet/backoff.js";
import { deviceTime, wait as waitByClock } from "#tablet/clock.js";
import { refreshBundle, refreshBundles } from "#tablet/refresh.js";
import { Sending } from "#tablet/sending.js";
import { StoreError } from "#tablet/store_error.js";

/** @typedef {"idle" | "sending" | "waiting" | "offline" | "signed_out" | "another_person"} Phase */
/**
 * @typedef {object} SyncState
 * @property {Phase} phase
 * @property {number} sent Entries that left the tablet since it last had nothing to send
 * @property {number} total Those and what still waits
 * @property {number} bytesSent Of photos
 * @property {number} bytesTotal
 * @property {string | null} nextTryAt Device time
 * @property {string} sentence What stands in the way; "" where nothing does
 */
/**
 * @typedef {object} SyncOptions
 * @property {() => Date} [now]
 * @property {(milliseconds: number, wake: AbortSignal) => Promise<void>} [wait]
 * @property {() => number} [random]
 * @property {(state: SyncState) => void} [onState]
 * @property {(error: unknown) => void} [onFault] Hears of faults in the app itself
 * @property {LockManager | null} [locks]
 * @property {EventTarget | null} [line] Says `online` when there is a line again
 * @property {number} [largestPart] Bytes of a photo sent at once
 */

/** How old the bundles may get while nothing happens, and how often a paused loop looks again. */
const REST = 5 * 60_000;
const FAULT = "Sending stopped for a fault in the app. It is tried again; everything saved stays on this tablet.";

export class Sync {
  #store;
  #api;
  #now;
  #wait;
  #random;
  #onState;
  #onFault;
  #locks;
  #line;
  #sending;
  /** @type {SyncState} */
  #state = { phase: "idle", sent: 0, total: 0, bytesSent: 0, bytesTotal: 0, nextTryAt: null, sentence: "" };
  #stopped = false;
  #end = new AbortController();
  #wake = new AbortController();
  #poked = false;
  #news = false;
  #refreshDue = true;
  #refreshedAt = 0;
  /** @type {Set<number>} Jobs whose bundles lack what was sent */
  #stale = new Set();
  #known = false;
  #failures = 0;
  /** @type {Promise<void> | null} */
  #running = null;

  /**
   * @param {import("#tablet/store.js").Store} store
   * @param {import("#tablet/api.js").Api} api
   * @param {SyncOptions} [options]
   */
  constructor(store, api, {
    now = () => new Date(),
    wait = waitByClock,
    random = Math.random,
    onState = () => {},
    onFault = (error) => console.error(error),
    locks = globalThis.navigator?.locks ?? null,
    line = globalThis.window ?? null,
    largestPart,
  } = {}) {
    this.#store = store;
    this.#api = api;
    this.#now = now;
    this.#wait = wait;
    this.#random = random;
    this.#onState = onState;
    this.#onFault = onFault;
    this.#locks = locks;
    this.#line = line;
    this.#sending = new Sending(store, api, {
      identify: () => this.#identify(),
      onProgress: (progress) => this.#become({ ...progress, ...(progress.total > progress.sent ? SENDING : {}) }),
      onSent: (job) => this.#stale.add(job),
      // A line that drops now and then is no dead one.
      onThrough: () => {
        this.#failures = 0;
      },
      stopped: () => this.#stopped,
      largestPart,
    });
  }

  get state() {
    return this.#state;
  }

  /**
   * Send, rest, and send again until stopped.
   *
   * @returns {Promise<void>} When it has stopped
   */
  run() {
    this.#running ??= this.#loop();
    return this.#running;
  }

  /** Try now: there is a line again, somebody signed in, or somebody asks for it. */
  poke() {
    this.#failures = 0;
    this.#poked = true;
    this.#refreshDue = true;
    this.#wake.abort();
  }

  /** Send no more. What is under way ends by itself, and the server's answer to it still counts. */
  stop() {
    this.#stopped = true;
    this.#end.abort();
    this.#wake.abort();
  }

  async #loop() {
    const poke = () => this.poke();
    this.#line?.addEventListener("online", poke);
    const unsubscribe = this.#store.subscribe(({ what }) => what === "saved" && this.#hearOfNews());
    try {
      while (!this.#stopped) {
        this.#poked = this.#news = false;
        const rest = await this.#round();
        if (!this.#stopped) await this.#rest(rest);
      }
    } finally {
      unsubscribe();
      this.#line?.removeEventListener("online", poke);
    }
  }

  #hearOfNews() {
    this.#news = true;
    // A loop that was held up waits its time out: entering things does not mend a line.
    if (this.#state.phase === "idle") this.#wake.abort();
  }

  /** @param {number} milliseconds */
  async #rest(milliseconds) {
    if (this.#poked || (this.#news && this.#state.phase === "idle")) return;
    this.#wake = new AbortController();
    await this.#wait(milliseconds, this.#wake.signal);
  }

  /** @returns {Promise<number>} Milliseconds to rest */
  async #round() {
    try {
      await this.#alone(() => this.#send());
    } catch (error) {
      return this.#stopped ? REST : this.#heldUp(error);
    }
    this.#failures = 0;
    this.#sending.resetProgress();
    this.#become({ phase: "idle", sent: 0, total: 0, bytesSent: 0, bytesTotal: 0, nextTryAt: null, sentence: "" });
    return REST;
  }

  async #send() {
    if (!this.#known) await this.#identify();
    await this.#sending.pass();
    const told = { store: this.#store, api: this.#api, now: this.#now };
    const interrupted = () => this.#stopped || this.#news;
    for (const job of this.#stale) {
      if (interrupted()) return;
      await refreshBundle({ ...told, job });
      this.#stale.delete(job);
    }
    if (!this.#refreshDue && this.#now().getTime() - this.#refreshedAt < REST) return;
    this.#refreshDue = !(await refreshBundles({ ...told, interrupted }));
    if (!this.#refreshDue) this.#refreshedAt = this.#now().getTime();
  }

  async #identify() {
    const me = await this.#api.me();
    if (me.person.id === this.#store.personId) {
      await this.#sendWhatTheOfficePutRight(me.entry_versions);
      this.#known = true;
      return;
    }
    this.#known = false;
    throw new ApiError({
      code: "another_person",
      sentence: `${me.person.name} is signed in on this tablet. What waits here is sent when its own person signs in.`,
      kind: "another_person",
    });
  }

  /**
   * Let entries go again that were refused for something only the office can put right.
   *
   * @param {number[]} versions Of entries the server takes
   */
  async #sendWhatTheOfficePutRight(versions) {
    await this.#store.sendAgainWhere(({ version, refusal }) =>
      refusal?.code === "no_such_job" || (refusal?.code === "entry_version" && versions.includes(version)));
  }

  /**
   * Do it while no other page of this tablet sends.
   *
   * @param {() => Promise<void>} work
   */
  async #alone(work) {
    if (!this.#locks) return work();
    await this.#locks.request("fluewright-sending", { signal: this.#end.signal }, work);
    return undefined;
  }

  /**
   * @param {unknown} error
   * @returns {number} Milliseconds to rest
   */
  #heldUp(error) {
    if (!(error instanceof ApiError)) return this.#broken(error);
    if (error.kind === "signed_out" || error.kind === "another_person") {
      this.#known = false;
      this.#become({ phase: error.kind, nextTryAt: null, sentence: error.sentence });
      return REST;
    }
    return this.#later(error.kind === "offline" ? "offline" : "waiting", error.sentence, error.retryAfter);
  }

  /** @param {unknown} error */
  #broken(error) {
    if (!(error instanceof StoreError)) {
      this.#onFault(error);
      return this.#later("waiting", FAULT);
    }
    if (error.code !== "newer_app" && error.code !== "store_closed") return this.#later("waiting", error.message);
    this.#become({ phase: "waiting", nextTryAt: null, sentence: error.message });
    this.stop();
    return REST;
  }

  /**
   * @param {Phase} phase
   * @param {string} sentence
   * @param {number} [asked] Seconds the server asks for
   */
  #later(phase, sentence, asked = 0) {
    this.#failures += 1;
    const delay = nextDelay(this.#failures, this.#random, asked);
    const nextTryAt = deviceTime(new Date(this.#now().getTime() + delay));
    this.#become({ phase, nextTryAt, sentence });
    return delay;
  }

  /** @param {Partial<SyncState>} change */
  #become(change) {
    this.#state = { ...this.#state, ...change };
    this.#onState(this.#state);
  }
}

/** @type {Partial<SyncState>} */
const SENDING = { phase: "sending", nextTryAt: null, sentence: "" };
