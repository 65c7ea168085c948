/**
 * A connection to one database that comes back after it was dropped.
 *
 * Safari drops connections of pages in the background, and another page may bring a newer version. Whatever was
 * under way then has been rolled back whole, so it is done once more on a new connection.
 */
import { wrap } from "idb";
import { nameOf, storageForbidden, StoreError, storeErrorOf } from "#tablet/store_error.js";

/**
 * @template {import("idb").DBSchema} Schema
 * @typedef {object} Shape
 * @property {string} name
 * @property {number} version
 * @property {(
 *   db: import("idb").IDBPDatabase<Schema>,
 *   from: number,
 *   transaction: import("idb").IDBPTransaction<Schema, import("idb").StoreNames<Schema>[], "versionchange">
 * ) => Promise<void>} upgrade
 */

/**
 * @typedef {object} ConnectionOptions
 * @property {IDBFactory} [factory] Where databases are; the browser's own unless told
 * @property {() => void} [onBlocked] An older page holds the database open: its pages must be closed
 */

/** @template {import("idb").DBSchema} Schema */
export class Connection {
  #shape;
  #factory;
  #onBlocked;
  /** @type {Promise<import("idb").IDBPDatabase<Schema>> | null} */
  #db = null;
  #closed = false;
  #dropped = 0;

  /**
   * @param {Shape<Schema>} shape
   * @param {ConnectionOptions} [options]
   */
  constructor(shape, { factory = globalThis.indexedDB, onBlocked = () => {} } = {}) {
    this.#shape = shape;
    this.#factory = factory;
    this.#onBlocked = onBlocked;
  }

  /** Open the database now, so that what stands against it is heard at once. */
  async open() {
    try {
      await this.#database();
    } catch (error) {
      throw storeErrorOf(error);
    }
  }

  /**
   * Read from stores in one transaction.
   *
   * @template {import("idb").StoreNames<Schema>} Name
   * @template Result
   * @param {Name[]} stores
   * @param {(tx: import("idb").IDBPTransaction<Schema, Name[], "readonly">) => Promise<Result>} work
   * @returns {Promise<Result>}
   */
  read(stores, work) {
    return this.#steadily(async (db) => finish(db.transaction(stores, "readonly"), work));
  }

  /**
   * Write to stores in one transaction, which is on the tablet's disk when this returns.
   *
   * @template {import("idb").StoreNames<Schema>} Name
   * @template Result
   * @param {Name[]} stores
   * @param {(tx: import("idb").IDBPTransaction<Schema, Name[], "readwrite">) => Promise<Result>} work
   * @returns {Promise<Result>}
   */
  write(stores, work) {
    return this.#steadily(async (db) => finish(db.transaction(stores, "readwrite", { durability: "strict" }), work));
  }

  /** Let go of the database for good. */
  close() {
    this.#closed = true;
    this.#letGo();
  }

  /**
   * @template Result
   * @param {(db: import("idb").IDBPDatabase<Schema>) => Promise<Result>} work
   * @returns {Promise<Result>}
   */
  async #steadily(work) {
    if (this.#closed) throw new StoreError("store_closed", "This page has let go of the tablet's memory. Load it again.");
    const before = this.#dropped;
    try {
      return await work(await this.#database());
    } catch (error) {
      if (this.#closed || !this.#wasDropped(error, before)) throw storeErrorOf(error);
    }
    this.#letGo();
    try {
      return await work(await this.#database());
    } catch (error) {
      throw storeErrorOf(error);
    }
  }

  /**
   * @param {unknown} error
   * @param {number} before
   */
  #wasDropped(error, before) {
    const name = nameOf(error);
    // Safari says UnknownError when its database process is gone.
    return name === "InvalidStateError" || name === "UnknownError" || (name === "AbortError" && this.#dropped > before);
  }

  #letGo() {
    const db = this.#db;
    this.#db = null;
    db?.then((opened) => opened.close(), () => {});
  }

  #database() {
    if (this.#db) return this.#db;
    const opening = this.#openNow();
    this.#db = opening;
    opening.catch(() => {
      if (this.#db === opening) this.#db = null;
    });
    return opening;
  }

  /** @returns {Promise<import("idb").IDBPDatabase<Schema>>} */
  async #openNow() {
    if (!this.#factory) throw storageForbidden();
    const { name, version, upgrade } = this.#shape;
    const request = this.#factory.open(name, version);
    /** @type {unknown} */
    let failure = null;
    request.addEventListener("upgradeneeded", (event) => {
      const transaction = /** @type {any} */ (wrap(/** @type {IDBTransaction} */ (request.transaction)));
      // How it ended is told by the request.
      transaction.done.catch(() => {});
      upgrade(/** @type {any} */ (wrap(request.result)), event.oldVersion, transaction).catch((error) => {
        failure = error;
        transaction.abort();
      });
    });
    request.addEventListener("blocked", () => this.#onBlocked());
    try {
      await wrap(request);
    } catch (error) {
      throw failure ?? error;
    }
    const raw = request.result;
    raw.addEventListener("versionchange", () => this.#drop(raw));
    raw.addEventListener("close", () => this.#drop(raw));
    return /** @type {any} */ (wrap(raw));
  }

  /** @param {IDBDatabase} raw */
  #drop(raw) {
    raw.close();
    this.#dropped += 1;
    this.#db = null;
  }
}

/**
 * @template {{done: Promise<void>, abort(): void}} Transaction
 * @template Result
 * @param {Transaction} tx
 * @param {(tx: Transaction) => Promise<Result>} work
 * @returns {Promise<Result>}
 */
async function finish(tx, work) {
  const end = tx.done.then(() => null, (/** @type {unknown} */ error) => error);
  let result;
  try {
    result = await work(tx);
  } catch (error) {
    try {
      tx.abort();
    } catch {
      // It had ended by itself; how is told below.
    }
    const ended = await end;
    // A transaction that ran out of room says so, where its requests only say that it was aborted.
    throw ended !== null && nameOf(ended) !== "AbortError" ? ended : error;
  }
  const ended = await end;
  if (ended !== null) throw ended;
  return result;
}
