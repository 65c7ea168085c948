import "fake-indexeddb/auto";
import assert from "node:assert/strict";
import { test } from "node:test";
import { openDB, wrap } from "idb";
import { openDevice, openShelf, SHELF_VERSION, shelfName } from "#tablet/db.js";
import { Device } from "#tablet/device.js";
import { Store } from "#tablet/store.js";
import { draft, freshTablet, openStore } from "./fake_tablet.js";

/** @typedef {import("idb").IDBPDatabase<any>} Database */

/**
 * Open a shelf as an app of another version does.
 *
 * @param {IDBFactory} factory
 * @param {number} version
 * @param {(db: Database) => void} [upgrade]
 * @returns {Promise<Database>}
 */
async function openAs(factory, version, upgrade = () => {}) {
  const usual = globalThis.indexedDB;
  globalThis.indexedDB = factory;
  try {
    return await openDB(shelfName(7), version, { upgrade, blocking: (_one, _other, event) => {
      /** @type {IDBDatabase} */ (event.target).close();
    } });
  } finally {
    globalThis.indexedDB = usual;
  }
}

const FIRST = { version: 1, job: 4, stage: "roof", text: "", taken_at: "2025-11-02T09:00:00.000-05:00", signature: null,
  photo: null, state: "waiting", refusal: null, attempts: 0 };

/** @param {Database} db */
function firstShelf(db) {
  db.createObjectStore("bundles", { keyPath: "job" });
  const entries = db.createObjectStore("entries", { keyPath: "entry" });
  entries.createIndex("job", "job");
  entries.createIndex("seq", "seq");
  db.createObjectStore("receipts", { keyPath: "entry" }).createIndex("job", "job");
  db.createObjectStore("facts", { keyPath: "name" });
}

test("a shelf of the first version moves over with every entry and photo", async () => {
  const factory = freshTablet();
  const old = await openAs(factory, 1, firstShelf);
  const bytes = new Uint8Array([1, 2, 3]).buffer;
  const photo = { sha256: "ab".repeat(32), size: 3, media_type: "image/jpeg" };
  await old.put("entries", { ...FIRST, entry: "a", seq: 1, kind: "answer", item: "cap", text: "yes" });
  await old.put("entries", { ...FIRST, entry: "b", seq: 2, kind: "photo", item: "cap-photo", photo, bytes });
  await old.put("facts", { name: "last_seq", value: 2 });
  old.close();

  const store = await openStore({ factory });
  const [answer, picture] = await store.entries();
  assert.deepEqual(answer, { ...FIRST, entry: "a", seq: 1, kind: "answer", item: "cap", text: "yes", saw: null, knew: "",
    verdict: "" });
  assert.deepEqual(picture.photo, photo);
  assert.equal("bytes" in picture, false);
  assert.deepEqual(await store.photoBytes("b"), bytes);
  assert.equal(await store.photoBytes("a"), undefined);
  assert.equal((await store.saveEntry(draft())).seq, 3);
  store.close();
});

test("a shelf with an entry nobody understands is left as it was", async () => {
  const factory = freshTablet();
  const old = await openAs(factory, 1, firstShelf);
  await old.put("entries", { ...FIRST, version: 9, entry: "a", seq: 1 });
  old.close();
  await assert.rejects(openStore({ factory }), { code: "newer_app" });
  const again = await openAs(factory, 1);
  assert.equal((await again.get("entries", "a")).version, 9);
  assert.equal(again.objectStoreNames.contains("photos"), false);
  again.close();
});

test("an app older than the shelf says so and touches nothing", async () => {
  const factory = freshTablet();
  const newer = await openAs(factory, SHELF_VERSION + 1, (db) => db.createObjectStore("later", { keyPath: "entry" }));
  await newer.put("later", { entry: "a" });
  newer.close();
  await assert.rejects(openStore({ factory }), { code: "newer_app", message: /Close all its pages/ });
  const again = await openAs(factory, SHELF_VERSION + 1);
  assert.deepEqual(await again.getAll("later"), [{ entry: "a" }]);
  again.close();
});

test("an old page makes way for an update and then says that it is old", async () => {
  const factory = freshTablet();
  const old = await openStore({ factory });
  await old.saveEntry(draft());
  const newer = await openAs(factory, SHELF_VERSION + 1);
  assert.equal((await newer.getAll("entries")).length, 1);
  await assert.rejects(old.saveEntry(draft()), { code: "newer_app" });
  newer.close();
  old.close();
});

test("a page that holds the shelf open is told of, and waited for", async () => {
  const factory = freshTablet();
  const request = factory.open(shelfName(7), 1);
  request.addEventListener("upgradeneeded", () => firstShelf(/** @type {any} */ (wrap(request.result))));
  await new Promise((resolve) => request.addEventListener("success", resolve));
  let told = 0;
  const shelf = await openShelf(7, { factory, onBlocked: () => {
    told += 1;
    request.result.close();
  } });
  assert.equal(told, 1);
  shelf.close();
});

test("a connection the browser dropped is opened again, and what was asked is done", async (t) => {
  const store = await openStore();
  const entry = await store.saveEntry(draft());
  const transaction = IDBDatabase.prototype.transaction;
  for (const name of ["InvalidStateError", "UnknownError"]) {
    let drops = 1;
    t.mock.method(IDBDatabase.prototype, "transaction", /** @this {IDBDatabase} */ function (/** @type {any[]} */ ...args) {
      drops -= 1;
      if (drops >= 0) throw new DOMException("Connection lost", name);
      return Reflect.apply(transaction, this, args);
    });
    assert.deepEqual(await store.entries(), [entry]);
    t.mock.restoreAll();
  }
  store.close();
});

test("a connection that stays lost is told in words after one more try", async (t) => {
  const store = await openStore();
  const lost = t.mock.method(IDBDatabase.prototype, "transaction", () => {
    throw new DOMException("Connection lost", "UnknownError");
  });
  await assert.rejects(store.entries(), { code: "storage_broken", message: /restart the tablet/ });
  assert.equal(lost.mock.callCount(), 2);
  t.mock.restoreAll();
  assert.deepEqual(await store.entries(), []);
  store.close();
});

test("a save that was rolled back with its connection is done again and is there once", async (t) => {
  const factory = freshTablet();
  const store = await openStore({ factory });
  const put = IDBObjectStore.prototype.put;
  let broken = false;
  t.mock.method(IDBObjectStore.prototype, "put", /** @this {IDBObjectStore} */ function (/** @type {any} */ value) {
    if (this.name === "entries" && !broken) {
      broken = true;
      this.transaction.db.dispatchEvent(new Event("close"));
      this.transaction.abort();
      throw new DOMException("Gone", "AbortError");
    }
    return put.call(this, value);
  });
  const saved = await store.saveEntry(draft());
  assert.equal(broken, true);
  assert.deepEqual((await store.entries()).map(({ entry, seq }) => [entry, seq]), [[saved.entry, 1]]);
  store.close();
});

test("what writes asks the disk to have it before it returns", async (t) => {
  const store = await openStore();
  const transaction = t.mock.method(IDBDatabase.prototype, "transaction");
  await store.saveEntry(draft());
  await store.keepBundle(/** @type {any} */ ({ job: 1, bundle: { made_at: "2026-05-04T15:00:00Z" } }));
  for (const call of transaction.mock.calls) assert.deepEqual(call.arguments.slice(1), ["readwrite", { durability: "strict" }]);
  assert.equal(transaction.mock.callCount(), 2);
  store.close();
});

test("no databases at all is told in words", async () => {
  const none = /** @type {any} */ (null);
  await assert.rejects(Store.open(7, { factory: none, channel: null }), { code: "storage_forbidden" });
  const forbidden = /** @type {any} */ ({ open: () => {
    throw new DOMException("No", "SecurityError");
  } });
  await assert.rejects(openDevice({ factory: forbidden }), { code: "storage_forbidden" });
});

test("a tablet makes its number once and remembers who works on it", async () => {
  const factory = freshTablet();
  const first = await Device.open({ factory });
  assert.equal(await first.person(), null);
  const number = await first.number();
  await first.setPerson({ id: 7, name: "Ivo Installer", role: "installer" });
  first.close();
  const second = await Device.open({ factory });
  assert.equal(await second.number(), number);
  assert.equal((await second.person())?.name, "Ivo Installer");
  second.close();
});
