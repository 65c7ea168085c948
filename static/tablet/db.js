/**
 * The databases on a tablet: one for the device, and one shelf for each person who works on it.
 *
 * Nobody's work lies on another's shelf, so nobody can see or send it.
 */
import { Connection } from "#tablet/connection.js";
import { upgradeEntry } from "#tablet/entry_versions.js";

export const DEVICE_VERSION = 1;
export const SHELF_VERSION = 2;

/** @typedef {import("#tablet/connection.js").ConnectionOptions} ConnectionOptions */

/** @typedef {{name: string, value: any}} Fact */

/**
 * @typedef {import("idb").DBSchema & {facts: {key: string, value: Fact}}} DeviceSchema
 */

/**
 * @typedef {import("idb").DBSchema & {
 *   bundles: {key: number, value: import("#tablet/types.js").KeptBundle},
 *   entries: {key: string, value: import("#tablet/types.js").Entry, indexes: {job: number, seq: number}},
 *   photos: {key: string, value: {entry: string, bytes: ArrayBuffer}},
 *   receipts: {key: string, value: import("#tablet/types.js").Receipt, indexes: {job: number}},
 *   facts: {key: string, value: Fact},
 * }} ShelfSchema
 */

/**
 * Open what the tablet knows of itself.
 *
 * @param {ConnectionOptions} [options]
 * @returns {Promise<Connection<DeviceSchema>>}
 */
export async function openDevice(options) {
  /** @type {import("#tablet/connection.js").Shape<DeviceSchema>} */
  const shape = {
    name: "fluewright-device",
    version: DEVICE_VERSION,
    upgrade: async (db) => {
      db.createObjectStore("facts", { keyPath: "name" });
    },
  };
  return opened(new Connection(shape, options));
}

/**
 * Open the shelf of one person.
 *
 * @param {number} personId
 * @param {ConnectionOptions} [options]
 * @returns {Promise<Connection<ShelfSchema>>}
 */
export async function openShelf(personId, options) {
  const name = shelfName(personId);
  return opened(new Connection({ name, version: SHELF_VERSION, upgrade: upgradeShelf }, options));
}

/** @param {number} personId */
export function shelfName(personId) {
  return `fluewright-person-${personId}`;
}

/**
 * @template {import("idb").DBSchema} Schema
 * @param {Connection<Schema>} connection
 * @returns {Promise<Connection<Schema>>}
 */
async function opened(connection) {
  await connection.open();
  return connection;
}

/** @type {import("#tablet/connection.js").Shape<ShelfSchema>["upgrade"]} */
async function upgradeShelf(db, from, transaction) {
  if (from < 1) {
    db.createObjectStore("bundles", { keyPath: "job" });
    const entries = db.createObjectStore("entries", { keyPath: "entry" });
    entries.createIndex("job", "job");
    entries.createIndex("seq", "seq");
    db.createObjectStore("receipts", { keyPath: "entry" }).createIndex("job", "job");
    db.createObjectStore("facts", { keyPath: "name" });
  }
  if (from < 2) {
    db.createObjectStore("photos", { keyPath: "entry" });
    await takeBytesOutOfEntries(transaction);
  }
}

/** @param {Parameters<import("#tablet/connection.js").Shape<ShelfSchema>["upgrade"]>[2]} transaction */
async function takeBytesOutOfEntries(transaction) {
  const entries = transaction.objectStore("entries");
  const photos = transaction.objectStore("photos");
  // One at a time: a morning's photos together may be more than the page may hold.
  for (let cursor = await entries.openCursor(); cursor; cursor = await cursor.continue()) {
    const { entry, bytes } = upgradeEntry(cursor.value);
    if (bytes) await photos.put({ entry: entry.entry, bytes });
    await cursor.update(entry);
  }
}
