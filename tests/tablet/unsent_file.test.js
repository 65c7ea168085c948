import assert from "node:assert/strict";
import { afterEach, beforeEach, test } from "node:test";
import { exportUnsent, readUnsent } from "#tablet/unsent_file.js";
import { DEVICE, draft, hexDigest, IVO, NOW, openStore, photoDraft } from "./fake_tablet.js";

/** @type {import("#tablet/store.js").Store} */
let store;

beforeEach(async () => {
  store = await openStore();
});

afterEach(() => store.close());

const now = () => NOW;

test("everything that is only on the tablet is in the file, the refused too", async () => {
  await store.saveEntry(draft({ job: 4 }));
  const refused = await store.saveEntry(draft({ job: 5 }));
  await store.refuse(refused.entry, { code: "no", sentence: "No." });
  const { entry, bytes } = photoDraft(70_001, { job: 4 });
  await store.saveEntry(entry, bytes);

  const [blob] = await exportUnsent(store, IVO, DEVICE, { now });
  const file = readUnsent(await blob.text());
  assert.deepEqual([file.device, file.person, file.part, file.parts], [DEVICE, { id: 7, name: "Ivo Installer" }, 1, 1]);
  assert.equal(Date.parse(file.made_at), NOW.getTime());
  assert.deepEqual(file.entries.map(({ job }) => job), [4, 5, 4]);
  const photo = file.entries[2];
  assert.deepEqual(photo.bytes, bytes);
  assert.equal(photo.sent.photo.sha256, hexDigest(bytes));
  assert.equal("state" in photo.sent, false);
});

test("photos are shared out so that no file holds more than it may", async () => {
  for (const size of [600, 600, 300, 1500, 10]) {
    const { entry, bytes } = photoDraft(size);
    await store.saveEntry(entry, bytes);
  }
  await store.saveEntry(draft());
  const blobs = await exportUnsent(store, IVO, DEVICE, { now, most: 1000 });
  const files = await Promise.all(blobs.map(async (blob) => readUnsent(await blob.text())));
  const sizes = files.map(({ entries }) => entries.map(({ bytes }) => bytes?.byteLength ?? 0));
  assert.deepEqual(sizes, [[600], [600, 300], [1500], [10, 0]]);
  assert.deepEqual(files.map(({ part, parts }) => `${part}/${parts}`), ["1/4", "2/4", "3/4", "4/4"]);
});

test("the file is the JSON the office reads", async () => {
  const { entry, bytes } = photoDraft(5);
  await store.saveEntry(entry, bytes);
  const [blob] = await exportUnsent(store, IVO, DEVICE, { now });
  const file = JSON.parse(await blob.text());
  assert.equal(file.format, "fluewright unsent work");
  assert.equal(file.version, 1);
  assert.deepEqual(Object.keys(file.entries[0].photo).sort(), ["bytes", "media_type", "sha256", "size"]);
  assert.equal(Buffer.from(file.entries[0].photo.bytes, "base64").compare(new Uint8Array(bytes)), 0);
});

test("an empty shelf makes no file", async () => {
  assert.deepEqual(await exportUnsent(store, IVO, DEVICE, { now }), []);
});

test("nobody's work is saved under another's name", async () => {
  await assert.rejects(exportUnsent(store, { ...IVO, id: 8 }, DEVICE), { code: "another_person" });
});

test("a file that is something else is refused in words", () => {
  for (const text of ["", "{}", "[1]", "null", '{"format": "fluewright unsent work"']) {
    assert.throws(() => readUnsent(text), { code: "not_unsent_work", message: /Save it on the tablet once more/ });
  }
  const newer = JSON.stringify({ format: "fluewright unsent work", version: 2, entries: [] });
  assert.throws(() => readUnsent(newer), { code: "newer_file" });
});
