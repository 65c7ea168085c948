/** A tablet for tests: its databases in memory, made-up entries, a clock and a line that do as they are told. */
import "fake-indexeddb/auto";
import { createHash } from "node:crypto";
import { IDBFactory } from "fake-indexeddb";
import { Api } from "#tablet/api.js";
import { Store } from "#tablet/store.js";
import { Sync } from "#tablet/sync.js";

/** @typedef {import("#tablet/entry_shelf.js").EntryDraft} EntryDraft */
/** @typedef {import("#tablet/types.js").Item} Item */

export const IVO = { id: 7, name: "Ivo Installer", role: /** @type {const} */ ("installer") };
export const DEVICE = "0d9c8a52-3c57-4a29-9a3f-6f6d0a4c1e11";
export const NOW = new Date("2026-05-04T15:00:00Z");

/** @returns {IDBFactory} Databases of a tablet nobody has used */
export function freshTablet() {
  return /** @type {any} */ (new IDBFactory());
}

/**
 * @param {{factory?: IDBFactory, person?: number, channel?: any}} [options]
 */
export function openStore({ factory = freshTablet(), person = IVO.id, channel = null } = {}) {
  return Store.open(person, { factory, channel });
}

let made = 0;

/**
 * @param {Partial<EntryDraft>} [about]
 * @returns {EntryDraft}
 */
export function draft(about = {}) {
  made += 1;
  return {
    version: 2,
    entry: `00000000-0000-4000-8000-${String(made).padStart(12, "0")}`,
    job: 1,
    kind: "answer",
    stage: "roof",
    item: `item-${made}`,
    text: "yes",
    saw: null,
    knew: "",
    verdict: "pass",
    taken_at: "2026-05-04T11:00:00.000-04:00",
    signature: null,
    photo: null,
    ...about,
  };
}

/**
 * @param {number} size
 * @param {Partial<EntryDraft>} [about]
 */
export function photoDraft(size, about = {}) {
  const bytes = new Uint8Array(size).map((_, at) => (at * 31 + made) % 251).buffer;
  const sha256 = hexDigest(bytes);
  const photo = { sha256, size, media_type: "image/jpeg" };
  return { bytes, entry: draft({ kind: "photo", text: "", verdict: "recorded", photo, ...about }) };
}

/** @param {ArrayBuffer} bytes */
export function hexDigest(bytes) {
  return createHash("sha256").update(new Uint8Array(bytes)).digest("hex");
}

/** @param {Partial<EntryDraft>} [about] */
export function signatureDraft(about = {}) {
  return draft({ kind: "signature", item: "", text: "", verdict: "", signature: INK, ...about });
}

export const INK = { strokes: [[[10, 10], [300, 120]]], width: 600, height: 220, name: "" };

/**
 * @param {Partial<Item>} [about]
 * @returns {Item}
 */
export function item(about = {}) {
  return { key: "sealed", kind: "confirm", ask: "Is it sealed?", how: "", required: true, as_found: false, quantity: "",
    measures: false, limit: null, limit_words: "", source_words: "", options: [], when: null, keys: [], hint: "",
    input_mode: "text", severity: "correct", ...about };
}

/** A clock that stands still, and waits that end when the test says so. */
export class Waits {
  /** @type {{milliseconds: number, end: () => void}[]} */
  open = [];
  /** @type {number[]} */
  asked = [];
  /** @type {(() => void)[]} */
  #watchers = [];

  /** @type {(milliseconds: number, wake: AbortSignal) => Promise<void>} */
  wait = (milliseconds, wake) => new Promise((resolve) => {
    const end = () => {
      this.open = this.open.filter((one) => one !== here);
      resolve();
    };
    const here = { milliseconds, end };
    this.open.push(here);
    this.asked.push(milliseconds);
    wake.addEventListener("abort", end, { once: true });
    for (const watcher of this.#watchers.splice(0)) watcher();
  });

  /** Wait until the loop rests. */
  async resting() {
    if (!this.open.length) await new Promise((/** @type {(value?: unknown) => void} */ resolve) => this.#watchers.push(resolve));
  }

  /** Let the wait end as its time is over, and wait until the loop rests again. */
  async over() {
    await this.resting();
    const [first] = this.open;
    first.end();
    await this.resting();
  }
}

/**
 * Open a store, an API and a loop on an office that is made up.
 *
 * @param {import("./fake_office.js").FakeOffice} office
 * @param {{factory?: IDBFactory, person?: number, locks?: any, line?: any, random?: () => number, part?: number}} [options]
 */
export async function tabletAt(office, { factory = freshTablet(), person = IVO.id, locks = null, line = null,
  random = () => 0.5, part } = {}) {
  const store = await openStore({ factory, person });
  const api = new Api({ fetch: office.fetch, base: "https://office.example/tablet/api/", person, device: DEVICE,
    app: "test", now: () => NOW, token: () => "token", timeout: () => new AbortController().signal });
  const waits = new Waits();
  /** @type {import("#tablet/sync.js").SyncState[]} */
  const states = [];
  /** @type {unknown[]} */
  const faults = [];
  const sync = new Sync(store, api, { now: () => NOW, wait: waits.wait, random, locks, line, largestPart: part,
    onState: (state) => states.push(state), onFault: (error) => faults.push(error) });
  /** @type {Promise<void>} */
  let running = Promise.resolve();
  return {
    factory, store, api, sync, waits, states, faults,
    /** Run until the loop rests. */
    async start() {
      running = sync.run();
      await waits.resting();
      return sync.state;
    },
    /** Poke the loop and wait until it rests again. */
    async poke() {
      sync.poke();
      await waits.resting();
      return sync.state;
    },
    /** Let the rest be over and wait for the next one. */
    async next() {
      await waits.over();
      return sync.state;
    },
    async close() {
      sync.stop();
      await running;
      store.close();
    },
  };
}
