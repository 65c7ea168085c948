/** A tablet whose app can be killed at any point; what its disk had by then is there when it opens again. */
import "fake-indexeddb/auto";
import { IDBFactory } from "fake-indexeddb";
import { Api } from "#tablet/api.js";
import { Outbox } from "#tablet/outbox.js";
import { Store } from "#tablet/store.js";
import { Sync } from "#tablet/sync.js";
import { keepPhoto } from "./picture.js";

/** @typedef {import("./chance.js").Chance} Chance */
/** @typedef {import("./rough_line.js").RoughLine} RoughLine */
/** @typedef {import("#tablet/types.js").Person} Person */

/** How long the loop rests when nothing holds it up; all other waits are shorter. */
const LONG_REST = 5 * 60_000;
const NEVER = new Promise(() => {});
export const KILLED = Symbol("killed");

/** One opening of the app, until it is closed or killed. */
class Life {
  alive = true;
  /** @type {(value: typeof KILLED) => void} */
  #tell = () => {};
  /** @type {Promise<typeof KILLED>} */
  ended = new Promise((resolve) => {
    this.#tell = resolve;
  });
  /** @type {Set<IDBTransaction>} */
  #transactions = new Set();
  /** @type {Set<IDBDatabase>} */
  #databases = new Set();
  #fuse;
  #delay;
  #spared = false;

  /**
   * @param {number} fuse Steps of the app until it is killed
   * @param {number} delay Turns of the loop of promises from there
   */
  constructor(fuse, delay) {
    this.#fuse = fuse;
    this.#delay = delay;
  }

  /** A point at which it may be killed. */
  async step() {
    this.#fuse -= 1;
    if (this.#fuse !== 0) return;
    for (let turn = 0; turn < this.#delay; turn += 1) await null;
    if (!this.#spared) this.kill();
  }

  /** Let it live from here on. */
  spare() {
    this.#spared = true;
  }

  kill() {
    if (!this.alive) return;
    this.alive = false;
    for (const transaction of this.#transactions) {
      try {
        transaction.abort();
      } catch {
        // It had been committed by then.
      }
    }
    for (const db of this.#databases) db.close();
    this.#tell(KILLED);
  }

  /** @param {IDBFactory} disk @returns {IDBFactory} */
  databases(disk) {
    const open = (/** @type {string} */ name, /** @type {number} */ version) => {
      this.#mustLive();
      const request = disk.open(name, version);
      request.addEventListener("success", () => this.#watch(request.result));
      return request;
    };
    return /** @type {any} */ ({ open });
  }

  /** @param {IDBDatabase} db */
  #watch(db) {
    this.#databases.add(db);
    const begin = db.transaction.bind(db);
    db.transaction = (...told) => {
      this.#mustLive();
      void this.step();
      const transaction = begin(...told);
      this.#transactions.add(transaction);
      transaction.addEventListener("complete", () => this.#transactions.delete(transaction));
      const objectStore = transaction.objectStore.bind(transaction);
      transaction.objectStore = (name) => {
        void this.step();
        return objectStore(name);
      };
      return transaction;
    };
  }

  #mustLive() {
    if (!this.alive) throw new DOMException("The app was killed", "InvalidStateError");
  }

  /** @param {typeof globalThis.fetch} fetch @returns {typeof globalThis.fetch} */
  line(fetch) {
    return async (...told) => {
      if (!this.alive) return NEVER;
      void this.step();
      /** @type {Response | unknown} */
      let outcome;
      let failed = false;
      try {
        outcome = await fetch(...told);
      } catch (error) {
        failed = true;
        outcome = error;
      }
      void this.step();
      if (!this.alive) return NEVER;
      if (failed) throw outcome;
      return outcome;
    };
  }

  /** @type {(milliseconds: number, wake: AbortSignal) => Promise<void>} Waits are over at once, but for the long rest */
  wait = async (milliseconds, wake) => {
    if (!this.alive) return NEVER;
    await new Promise((/** @type {(value?: unknown) => void} */ resolve) => {
      if (wake.aborted || milliseconds < LONG_REST) setImmediate(resolve);
      else wake.addEventListener("abort", resolve, { once: true });
    });
    return undefined;
  };
}

export class MortalTablet {
  #disk = /** @type {IDBFactory} */ (/** @type {any} */ (new IDBFactory()));
  #chance;
  #line;
  #base;
  /** @type {Life} */
  #life = new Life(0, 0);
  /** @type {Promise<void>} */
  #running = Promise.resolve();
  /** @type {unknown[]} Faults in the app itself */
  faults = [];
  kills = 0;
  #mortal = true;
  /** @type {Store} */
  store;
  /** @type {Outbox} */
  outbox;
  /** @type {Api} */
  api;
  /** @type {Sync} */
  sync;

  /**
   * @param {object} told
   * @param {Chance} told.chance
   * @param {RoughLine} told.line
   * @param {string} told.base
   * @param {Person} told.person
   */
  constructor({ chance, line, base, person }) {
    this.#chance = chance;
    this.#line = line;
    this.#base = base;
    this.person = person;
    this.device = chance.uuid();
    this.store = this.outbox = this.api = this.sync = /** @type {any} */ (null);
  }

  /** It is killed no more. */
  async spare() {
    this.#mortal = false;
    this.#life.spare();
    await this.during(async () => {});
  }

  /** Open the app, as often as it is killed while it opens. */
  async open() {
    for (;;) {
      const fuse = this.#mortal && this.#chance.happens(0.7) ? this.#chance.between(1, 250) : 0;
      const life = new Life(fuse, this.#chance.between(0, 12));
      this.#life = life;
      const opening = Store.open(this.person.id, { factory: life.databases(this.#disk), channel: null });
      opening.catch(() => {});
      const store = await Promise.race([opening, life.ended]).catch((error) => {
        if (life.alive) throw error;
        return KILLED;
      });
      if (!(store instanceof Store) || !life.alive) {
        this.kills += 1;
        continue;
      }
      this.#work(life, store);
      return;
    }
  }

  /**
   * @param {Life} life
   * @param {Store} store
   */
  #work(life, store) {
    const now = () => new Date();
    this.store = store;
    this.outbox = new Outbox(store, { person: this.person, now, uuid: () => this.#chance.uuid(),
      shrink: /** @type {any} */ (keepPhoto) });
    this.api = new Api({ fetch: life.line(this.#line.fetch), base: this.#base, person: this.person.id,
      device: this.device, app: "rough", now, token: () => this.#line.token });
    this.sync = new Sync(store, this.api, { now, wait: life.wait, random: this.#chance.next, locks: null, line: null,
      largestPart: 3000, onFault: (error) => life.alive && this.faults.push(error) });
    this.#running = this.sync.run();
  }

  /**
   * Do something on the tablet; where it is killed over it, open it again and return KILLED.
   *
   * @template Result
   * @param {() => Promise<Result>} work
   * @returns {Promise<Result | typeof KILLED>}
   */
  async during(work) {
    const life = this.#life;
    const result = life.alive
      ? await Promise.race([life.ended, work()]).catch((error) => {
        if (life.alive) throw error;
        return KILLED;
      })
      : KILLED;
    if (!life.alive) {
      this.kills += 1;
      await this.open();
    }
    // What had been told before it was killed was told.
    return /** @type {Result | typeof KILLED} */ (result);
  }

  async close() {
    this.sync.stop();
    await this.#running;
    this.store.close();
  }
}
