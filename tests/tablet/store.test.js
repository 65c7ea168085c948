import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import { draft, freshTablet, IVO, openStore, photoDraft } from "./fake_tablet.js";

/** @typedef {import("#tablet/store.js").Store} Store */

/** @type {Store[]} */
const opened = [];

/** @param {Parameters<typeof openStore>[0]} [options] */
async function open(options) {
  const store = await openStore(options);
  opened.push(store);
  return store;
}

afterEach(() => {
  for (const store of opened.splice(0)) store.close();
});

const ACCEPTED = { outcome: "accepted", code: "", sentence: "", verdict: /** @type {const} */ ("pass"), differs: false,
  said: "yes", margin: "", received_at: "2026-05-04T15:00:02Z" };

/** @param {number} job @param {string} made_at */
function kept(job, made_at = "2026-05-04T15:00:00Z") {
  return /** @type {import("#tablet/types.js").KeptBundle} */ (
    /** @type {unknown} */ ({ job, fetched_at: made_at, etag: `"${made_at}"`, bundle: { made_at, job: { id: job } } }));
}

test("an entry is on the tablet after it was saved and the page is gone", async () => {
  const factory = freshTablet();
  const first = await open({ factory });
  const saved = await first.saveEntry(draft({ text: "22 1/2" }));
  first.close();
  const [found] = await (await open({ factory })).entries();
  assert.deepEqual(found, saved);
  assert.equal(found.text, "22 1/2");
  assert.equal(found.state, "waiting");
});

test("a photo's bytes are saved with their entry", async () => {
  const store = await open();
  const { entry, bytes } = photoDraft(5000);
  await store.saveEntry(entry, bytes);
  assert.deepEqual(await store.photoBytes(entry.entry), bytes);
});

test("a photo that did not come whole is not saved", async () => {
  const store = await open();
  const { entry, bytes } = photoDraft(500);
  await assert.rejects(store.saveEntry(entry, bytes.slice(1)), { code: "photo_missing" });
  await assert.rejects(store.saveEntry(entry), { code: "photo_missing" });
  assert.deepEqual(await store.entries(), []);
});

test("two pages of one tablet never give two entries the same number", async () => {
  const factory = freshTablet();
  const pages = [await open({ factory }), await open({ factory })];
  await Promise.all(Array.from({ length: 20 }, (_, at) => pages[at % 2].saveEntry(draft())));
  const numbers = (await pages[0].entries()).map((entry) => entry.seq);
  assert.deepEqual(numbers, Array.from({ length: 20 }, (_, at) => at + 1));
});

test("numbers go on where they were after everything was sent", async () => {
  const store = await open();
  const first = await store.saveEntry(draft());
  await store.acknowledge(first.entry, ACCEPTED);
  assert.equal((await store.saveEntry(draft())).seq, 2);
});

test("saving the same entry twice keeps it once", async () => {
  const store = await open();
  const entry = draft();
  await store.saveEntry(entry);
  await store.saveEntry(entry);
  assert.equal((await store.entries()).length, 1);
});

test("entries of one job come in the order they were made", async () => {
  const store = await open();
  const made = [];
  for (const job of [1, 2, 1, 1, 2]) made.push(await store.saveEntry(draft({ job })));
  const ofOne = made.filter(({ job }) => job === 1).map(({ entry }) => entry);
  assert.deepEqual((await store.entries(1)).map(({ entry }) => entry), ofOne);
});

test("an acknowledged entry leaves the tablet and its receipt stays", async () => {
  const store = await open();
  const { entry, bytes } = photoDraft(300);
  const saved = await store.saveEntry(entry, bytes);
  await store.acknowledge(entry.entry, ACCEPTED);
  assert.deepEqual(await store.entries(), []);
  assert.equal(await store.photoBytes(entry.entry), undefined);
  const [receipt] = await store.receipts(1);
  assert.deepEqual(receipt.sent, saved);
  assert.equal(receipt.outcome, "accepted");
});

test("a late entry leaves the tablet with the reason in its receipt", async () => {
  const store = await open();
  const { entry } = await store.saveEntry(draft());
  const late = { ...ACCEPTED, outcome: "late", code: "stage_signed", sentence: "Kept for the inspector." };
  await store.acknowledge(entry, late);
  const [receipt] = await store.receipts(1);
  assert.equal(receipt.outcome, "late");
  assert.equal(receipt.sentence, "Kept for the inspector.");
});

test("a receipt for an entry that is not here changes nothing", async () => {
  const store = await open();
  await store.saveEntry(draft());
  await store.acknowledge("11111111-1111-4111-8111-111111111111", ACCEPTED);
  assert.equal((await store.entries()).length, 1);
  assert.deepEqual(await store.receipts(1), []);
});

test("an outcome nobody knows leaves the entry waiting", async () => {
  const store = await open();
  const { entry } = await store.saveEntry(draft());
  await store.settle([{ ...ACCEPTED, entry, outcome: "postponed" }]);
  assert.equal((await store.entry(entry))?.state, "waiting");
});

test("a refused entry stays with its photo and the server's sentence", async () => {
  const store = await open();
  const { entry, bytes } = photoDraft(40);
  await store.saveEntry(entry, bytes);
  await store.refuse(entry.entry, { code: "photo_too_small", sentence: "Take it again." });
  const [found] = await store.entries();
  assert.equal(found.state, "refused");
  assert.deepEqual(found.refusal, { code: "photo_too_small", sentence: "Take it again." });
  assert.equal((await store.photoBytes(entry.entry))?.byteLength, 40);
});

test("a correction takes the place of a refused entry in one go", async () => {
  const store = await open();
  const { entry, bytes } = photoDraft(40);
  await store.saveEntry(entry, bytes);
  await store.refuse(entry.entry, { code: "no", sentence: "No." });
  const better = photoDraft(50);
  await store.replaceRefused(entry.entry, better.entry, better.bytes);
  assert.deepEqual((await store.entries()).map((one) => one.entry), [better.entry.entry]);
  assert.equal(await store.photoBytes(entry.entry), undefined);
});

test("an entry that waits can be neither replaced nor thrown away", async () => {
  const store = await open();
  const { entry } = await store.saveEntry(draft());
  await assert.rejects(store.replaceRefused(entry, draft()), { code: "not_refused" });
  await assert.rejects(store.discardRefused(entry), { code: "not_refused" });
  await assert.rejects(store.discardRefused("nothing"), { code: "no_such_entry" });
  assert.deepEqual((await store.entries()).map((one) => one.entry), [entry]);
});

test("a refused entry can be sent again as it is, or thrown away", async () => {
  const store = await open();
  const { entry } = await store.saveEntry(draft());
  await store.refuse(entry, { code: "no", sentence: "No." });
  await store.sendAgain(entry);
  assert.equal((await store.entry(entry))?.state, "waiting");
  await store.refuse(entry, { code: "no", sentence: "No." });
  await store.discardRefused(entry);
  assert.deepEqual(await store.entries(), []);
});

test("it counts what waits and what was refused, by job", async () => {
  const store = await open();
  await store.saveEntry(draft());
  const { entry, bytes } = photoDraft(40, { job: 2 });
  await store.saveEntry(entry, bytes);
  await store.refuse(entry.entry, { code: "no", sentence: "No." });
  assert.deepEqual(await store.counts(), { waiting: 1, refused: 1, photos: 1, bytes: 40,
    jobs: new Map([[1, { waiting: 1, refused: 0 }], [2, { waiting: 0, refused: 1 }]]) });
});

test("a bundle is kept with what it holds dropped from the receipts", async () => {
  const store = await open();
  const [one, other] = [await store.saveEntry(draft()), await store.saveEntry(draft())];
  await store.settle([one, other].map(({ entry }) => ({ ...ACCEPTED, entry })));
  await store.keepBundle(kept(1), [one.entry]);
  assert.deepEqual((await store.receipts(1)).map(({ entry }) => entry), [other.entry]);
  assert.equal((await store.bundle(1))?.etag, '"2026-05-04T15:00:00Z"');
});

test("a receipt that has something to tell stays as long as its job", async () => {
  const store = await open();
  const { entry } = await store.saveEntry(draft());
  await store.acknowledge(entry, { ...ACCEPTED, sentence: "Enter it again." });
  await store.keepBundle(kept(1), [entry]);
  assert.equal((await store.receipts(1)).length, 1);
  await store.dropBundles([]);
  assert.deepEqual(await store.receipts(1), []);
});

test("a bundle never gives way to an older one", async () => {
  const store = await open();
  await store.keepBundle(kept(1, "2026-05-04T15:00:00Z"));
  assert.equal(await store.keepBundle(kept(1, "2026-05-04T14:59:59Z")), false);
  assert.equal((await store.bundle(1))?.bundle.made_at, "2026-05-04T15:00:00Z");
});

test("a bundle with entries that are only here is never dropped", async () => {
  const store = await open();
  for (const job of [1, 2, 3]) await store.keepBundle(kept(job));
  const { entry } = await store.saveEntry(draft({ job: 2 }));
  await store.refuse(entry, { code: "no", sentence: "No." });
  await store.dropBundles([3]);
  assert.deepEqual((await store.bundles()).map(({ job }) => job), [2, 3]);
});

test("a full tablet says so and keeps neither half of an entry", async (t) => {
  const store = await open();
  const { entry, bytes } = photoDraft(5000);
  const prototype = IDBObjectStore.prototype;
  const put = prototype.put;
  t.mock.method(prototype, "put", /** @this {IDBObjectStore} */ function (/** @type {any} */ value) {
    if (this.name === "entries") {
      this.transaction.abort();
      throw new DOMException("No room", "QuotaExceededError");
    }
    return put.call(this, value);
  });
  await assert.rejects(store.saveEntry(entry, bytes), { code: "tablet_full", message: /make room/ });
  t.mock.restoreAll();
  assert.deepEqual(await store.entries(), []);
  assert.equal(await store.photoBytes(entry.entry), undefined);
  assert.equal((await store.saveEntry(entry, bytes)).seq, 1);
});

test("pages of one tablet hear of each other's entries", async () => {
  const factory = freshTablet();
  /** @param {string} name */
  const channel = (name) => new BroadcastChannel(name);
  const [one, other] = [await open({ factory, channel }), await open({ factory, channel })];
  /** @type {import("#tablet/store.js").Change[]} */
  const mine = [];
  one.subscribe((change) => mine.push(change));
  const heard = new Promise((resolve) => other.subscribe(resolve));
  await one.saveEntry(draft());
  assert.deepEqual(mine, [{ what: "saved", job: 1, here: true }]);
  assert.deepEqual(await heard, { what: "saved", job: 1, here: false });
});

test("one person's shelf holds nothing of another's", async () => {
  const factory = freshTablet();
  await (await open({ factory, person: IVO.id })).saveEntry(draft());
  assert.deepEqual(await (await open({ factory, person: 8 })).entries(), []);
});

test("a shelf that was closed says so instead of opening again", async () => {
  const store = await open();
  store.close();
  await assert.rejects(store.entries(), { code: "store_closed" });
});
