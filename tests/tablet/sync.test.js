import assert from "node:assert/strict";
import { test } from "node:test";
import { nextDelay } from "#tablet/backoff.js";
import { newerApp, StoreError } from "#tablet/store_error.js";
import { draft, freshTablet, photoDraft, signatureDraft } from "./fake_tablet.js";
import { answerLost, json, neverSent, proxySays } from "./fake_office.js";
import { office, posts, save, tabletHere, waitingOn } from "./one_office.js";

test("what waits is sent and leaves the tablet", async () => {
  const tablet = await tabletHere();
  const entries = await save(tablet, draft(), draft({ job: 2 }));
  const state = await tablet.start();
  assert.deepEqual([...office.taken.keys()], entries);
  assert.deepEqual(await waitingOn(tablet), []);
  assert.deepEqual([state.phase, state.total], ["idle", 0]);
});

test("an entry saved while the loop rests is sent at once", async () => {
  const tablet = await tabletHere();
  await tablet.start();
  const [entry] = await save(tablet, draft());
  await tablet.waits.resting();
  assert.ok(office.taken.has(entry));
});

test("its progress counts entries, and bytes of photos", async () => {
  const tablet = await tabletHere({ part: 1000 });
  const { entry, bytes } = photoDraft(2500);
  await tablet.store.saveEntry(entry, bytes);
  await save(tablet, draft());
  await tablet.start();
  const sending = tablet.states.filter(({ phase }) => phase === "sending");
  assert.deepEqual([...new Set(sending.map(({ sent, total }) => `${sent}/${total}`))], ["0/2", "1/2", "2/2"]);
  const bytesSent = [...new Set(sending.map((state) => state.bytesSent))];
  assert.deepEqual(bytesSent, [0, 1000, 2000, 2500]);
  assert.ok(sending.every(({ bytesTotal }) => bytesTotal === 2500));
});

test("without a line everything stays, and goes when the line is back", async () => {
  const tablet = await tabletHere();
  const entries = await save(tablet, draft(), draft());
  office.always = neverSent;
  const state = await tablet.start();
  assert.equal(state.phase, "offline");
  assert.ok(state.nextTryAt);
  assert.deepEqual(await waitingOn(tablet), entries);
  office.always = null;
  assert.equal((await tablet.next()).phase, "idle");
  assert.deepEqual([...office.taken.keys()], entries);
});

test("tries come further and further apart, up to five minutes, and begin anew when poked", async () => {
  const tablet = await tabletHere({ random: () => 1 });
  await save(tablet, draft());
  office.always = neverSent;
  await tablet.start();
  for (let round = 0; round < 9; round += 1) await tablet.next();
  assert.deepEqual(tablet.waits.asked, [4, 8, 16, 32, 64, 128, 256, 300, 300, 300].map((seconds) => seconds * 1000));
  await tablet.poke();
  assert.equal(tablet.waits.asked.at(-1), 4000);
});

test("a line that drops after every part is not left alone for longer and longer", async () => {
  const tablet = await tabletHere({ part: 1000, random: () => 1 });
  const { entry, bytes } = photoDraft(8000);
  await tablet.store.saveEntry(entry, bytes);
  let parts = 0;
  office.always = async (asked, answer) => (asked.method === "PATCH" && (parts += 1) % 2 ? neverSent(asked, answer) : answer());
  await tablet.start();
  for (let round = 0; round < 8; round += 1) await tablet.next();
  assert.ok(office.taken.has(entry.entry));
  assert.deepEqual(tablet.waits.asked.slice(0, 8), Array(8).fill(4000));
});

test("two tablets do not come back at the same moment", () => {
  assert.equal(nextDelay(3, () => 0), 2000);
  assert.equal(nextDelay(3, () => 0.5), 9000);
  assert.equal(nextDelay(1, () => 0, 60), 60_000);
  assert.equal(nextDelay(1, () => 0, 86_400), 300_000);
});

test("a line that is back is noticed", async () => {
  const line = new EventTarget();
  const tablet = await tabletHere({ line });
  office.always = neverSent;
  await save(tablet, draft());
  await tablet.start();
  office.always = null;
  line.dispatchEvent(new Event("online"));
  await tablet.waits.resting();
  assert.equal(tablet.sync.state.phase, "idle");
  assert.equal(office.taken.size, 1);
});

test("saving things does not hurry a server that is in trouble", async () => {
  const tablet = await tabletHere();
  office.always = proxySays(503, { "Retry-After": "40" });
  await save(tablet, draft());
  const state = await tablet.start();
  assert.equal(state.phase, "waiting");
  assert.deepEqual(tablet.waits.asked, [40_000]);
  const before = office.asked.length;
  await save(tablet, draft());
  assert.equal(office.asked.length, before);
});

test("an answer that got lost is asked for again and nothing is doubled", async () => {
  const tablet = await tabletHere();
  await tablet.start();
  office.faults = [answerLost];
  const [entry] = await save(tablet, draft());
  await tablet.waits.resting();
  assert.equal(tablet.sync.state.phase, "offline");
  assert.ok(office.taken.has(entry));
  assert.deepEqual(await waitingOn(tablet), [entry]);
  await tablet.next();
  assert.deepEqual(await waitingOn(tablet), []);
  assert.equal(office.batches.length, 2);
  assert.deepEqual([...office.taken.keys()], [entry]);
});

test("an expired login keeps the queue, and it goes on after signing in", async () => {
  const tablet = await tabletHere();
  const entries = await save(tablet, draft());
  office.signedIn = false;
  assert.equal((await tablet.start()).phase, "signed_out");
  assert.equal((await tablet.poke()).phase, "signed_out");
  assert.deepEqual(await waitingOn(tablet), entries);
  office.signedIn = true;
  assert.equal((await tablet.poke()).phase, "idle");
  assert.deepEqual(await waitingOn(tablet), []);
});

test("a login that expires in the middle pauses in the middle", async () => {
  const tablet = await tabletHere();
  await tablet.start();
  office.signedIn = false;
  const entries = await save(tablet, draft());
  await tablet.waits.resting();
  assert.equal(tablet.sync.state.phase, "signed_out");
  office.signedIn = true;
  await tablet.poke();
  assert.deepEqual([...office.taken.keys()], entries);
});

test("nothing of one person is sent while another is signed in", async () => {
  const tablet = await tabletHere();
  const entries = await save(tablet, draft());
  office.person = { ...office.person, id: 8, name: "Sten Stranger" };
  const state = await tablet.start();
  assert.equal(state.phase, "another_person");
  assert.match(state.sentence, /Sten Stranger/);
  assert.deepEqual(office.asked.map(({ path }) => path), ["me"]);
  assert.deepEqual(await waitingOn(tablet), entries);
});

test("another person who signs in meanwhile stops the sending", async () => {
  const tablet = await tabletHere();
  await tablet.start();
  office.person = { ...office.person, id: 8, name: "Sten Stranger" };
  const entries = await save(tablet, draft());
  await tablet.waits.resting();
  assert.equal(tablet.sync.state.phase, "another_person");
  assert.deepEqual(await waitingOn(tablet), entries);
  assert.equal(office.taken.size, 0);
});

test("a page's token that is too old is fetched anew", async () => {
  const tablet = await tabletHere();
  await tablet.start();
  await save(tablet, draft());
  office.faults = [() => json(403, { code: "token", sentence: "The page is older than your sign-in." })];
  await tablet.waits.resting();
  assert.equal(office.taken.size, 1);
  assert.equal(office.asked.filter(({ path }) => path === "me").length, 2);
});

test("a token that stays wrong does not make it ask without end", async () => {
  const tablet = await tabletHere();
  const entries = await save(tablet, draft());
  office.token = "other";
  assert.equal((await tablet.start()).phase, "waiting");
  assert.equal(posts(), 2);
  assert.deepEqual(await waitingOn(tablet), entries);
});

test("a refusal stays with the server's sentence and the rest goes on", async () => {
  const tablet = await tabletHere();
  const [bad, good] = await save(tablet, draft({ text: "refused" }), draft());
  assert.equal((await tablet.start()).phase, "idle");
  assert.deepEqual(await waitingOn(tablet), [bad]);
  assert.equal((await tablet.store.entry(bad))?.refusal?.sentence, "Enter it again.");
  assert.ok(office.taken.has(good));
  await tablet.poke();
  assert.equal(posts(), 1);
});

test("a job that is not there any more refuses its own entries alone", async () => {
  const tablet = await tabletHere();
  const [gone, good] = await save(tablet, draft({ job: 3 }), draft({ job: 1 }));
  await tablet.start();
  assert.deepEqual(await waitingOn(tablet), [gone]);
  assert.equal((await tablet.store.entry(gone))?.refusal?.code, "no_such_job");
  assert.ok(office.taken.has(good));
});

test("entries of a job that is the crew's again go when the app is opened again", async () => {
  const factory = freshTablet();
  const first = await tabletHere({ factory });
  const [entry] = await save(first, draft({ job: 3 }));
  await first.start();
  office.jobs.add(3);
  const second = await tabletHere({ factory });
  await second.start();
  assert.ok(office.taken.has(entry));
  assert.deepEqual(await waitingOn(second), []);
});

test("one entry the server cannot read does not block the others of its batch", async () => {
  const tablet = await tabletHere();
  const drafts = Array.from({ length: 9 }, (_, at) => draft(at === 4 ? { text: "unreadable" } : {}));
  await save(tablet, ...drafts);
  assert.equal((await tablet.start()).phase, "idle");
  assert.deepEqual(await waitingOn(tablet), [drafts[4].entry]);
  assert.equal((await tablet.store.entry(drafts[4].entry))?.refusal?.code, "not_understood");
  assert.equal(office.taken.size, 8);
});

test("one entry the server stumbles over waits, and the others go", async () => {
  const tablet = await tabletHere();
  const drafts = Array.from({ length: 6 }, () => draft());
  await save(tablet, ...drafts);
  const bad = drafts[2].entry;
  office.always = async ({ body }, answer) => (String(body ?? "").includes(bad) ? proxySays(500)({ ...office.asked[0] }, answer) : answer());
  await tablet.start();
  for (let round = 0; round < 6; round += 1) await tablet.next();
  assert.deepEqual(await waitingOn(tablet), [bad]);
  assert.equal((await tablet.store.entry(bad))?.state, "waiting");
  office.always = null;
  assert.equal((await tablet.next()).phase, "idle");
  assert.deepEqual(await waitingOn(tablet), []);
});

test("a proxy that finds a batch too large gets smaller ones", async () => {
  const tablet = await tabletHere();
  await save(tablet, ...Array.from({ length: 20 }, () => draft()));
  office.always = async ({ body }, answer) =>
    (String(body ?? "").length > 2000 ? proxySays(413)({ ...office.asked[0] }, answer) : answer());
  assert.equal((await tablet.start()).phase, "idle");
  assert.equal(office.taken.size, 20);
});

test("what an answer says of entries that were not sent is passed over, and what it leaves out stays", async () => {
  const tablet = await tabletHere();
  const [one, other] = await save(tablet, draft(), draft({ job: 2 }));
  office.always = async (asked, answer) => (asked.path === "jobs/1/entries"
    ? json(200, { results: [{ entry: other, outcome: "accepted" }, { entry: "nobody's", outcome: "accepted" }] })
    : answer());
  const state = await tablet.start();
  assert.equal(state.phase, "waiting");
  assert.deepEqual(await waitingOn(tablet), [one]);
  assert.ok(office.taken.has(other));
  office.always = null;
  await tablet.next();
  assert.deepEqual(await waitingOn(tablet), []);
});

test("an entry the server has kept as late leaves the tablet with its receipt", async () => {
  const tablet = await tabletHere();
  office.judge = () => ({ outcome: "late", code: "stage_signed", sentence: "Kept for the inspector." });
  await save(tablet, draft());
  await tablet.start();
  assert.deepEqual(await waitingOn(tablet), []);
  const [receipt] = await tablet.store.receipts(1);
  assert.deepEqual([receipt.outcome, receipt.sentence], ["late", "Kept for the inspector."]);
});

test("a signature goes after everything that came before it", async () => {
  const tablet = await tabletHere({ part: 1000 });
  const { entry, bytes } = photoDraft(1500);
  const begin = draft({ kind: "begin", stage: "", item: "" });
  await save(tablet, begin, draft());
  await tablet.store.saveEntry(entry, bytes);
  const signature = signatureDraft();
  await save(tablet, signature, draft({ stage: "handover" }));
  await tablet.start();
  const order = office.batches.map((batch) => batch.map(({ kind }) => kind).join(" "));
  assert.deepEqual(order, ["begin", "answer answer", "photo", "signature"]);
});

test("a signature waits while a photo before it does not get through", async () => {
  const tablet = await tabletHere();
  const { entry, bytes } = photoDraft(1500);
  await tablet.store.saveEntry(entry, bytes);
  const [signature, other] = await save(tablet, signatureDraft(), draft({ stage: "handover" }));
  office.always = async ({ method }, answer) => (method === "PATCH" ? neverSent(office.asked[0], answer) : answer());
  assert.equal((await tablet.start()).phase, "offline");
  assert.deepEqual(await waitingOn(tablet), [entry.entry, signature]);
  assert.ok(office.taken.has(other));
});

test("what was refused holds no signature up: the server decides", async () => {
  const tablet = await tabletHere();
  const [refused, signature] = await save(tablet, draft({ text: "refused" }), signatureDraft());
  await tablet.start();
  assert.deepEqual(await waitingOn(tablet), [refused]);
  assert.ok(office.taken.has(signature));
});

test("while a beginning is refused its job waits, and goes when it is taken", async () => {
  const tablet = await tabletHere();
  office.judge = ({ kind }) => (kind === "begin" ? { outcome: "refused", code: "no_plan", sentence: "No plan yet." } : null);
  const [begin, answer] = await save(tablet, draft({ kind: "begin", stage: "", item: "" }), draft());
  await tablet.start();
  assert.deepEqual(await waitingOn(tablet), [begin, answer]);
  assert.equal((await tablet.store.entry(answer))?.state, "waiting");
  office.judge = () => null;
  await tablet.store.sendAgain(begin);
  await tablet.waits.resting();
  assert.deepEqual([...office.taken.keys()], [begin, answer]);
});

test("bundles are fetched, and not again while they have not changed", async () => {
  const tablet = await tabletHere();
  await tablet.start();
  assert.deepEqual((await tablet.store.bundles()).map(({ job }) => job), [1, 2]);
  assert.deepEqual((await tablet.store.fact("jobs")).jobs, [{ job: 1 }, { job: 2 }]);
  const etag = (await tablet.store.bundle(1))?.etag;
  await tablet.poke();
  assert.equal((await tablet.store.bundle(1))?.etag, etag);
  office.replan();
  await tablet.poke();
  assert.notEqual((await tablet.store.bundle(1))?.etag, etag);
});

test("after sending, the bundle of that job holds it and its receipt goes", async () => {
  const tablet = await tabletHere();
  await tablet.start();
  const [entry] = await save(tablet, draft());
  await tablet.waits.resting();
  const kept = await tablet.store.bundle(1);
  assert.deepEqual(kept?.bundle.answers.map((answer) => answer.entry), [entry]);
  assert.deepEqual(await tablet.store.receipts(1), []);
  assert.equal(office.asked.filter(({ path }) => path === "jobs").length, 1);
});

test("jobs that are no longer on the list go, but for what was not sent of them", async () => {
  const tablet = await tabletHere();
  await tablet.start();
  office.judge = () => ({ outcome: "refused", code: "no", sentence: "No." });
  await save(tablet, draft({ job: 2 }));
  await tablet.waits.resting();
  office.jobs = new Set([3]);
  await tablet.poke();
  assert.deepEqual((await tablet.store.bundles()).map(({ job }) => job), [2, 3]);
});

test("a full tablet makes room for receipts with bundles that can be fetched again", async (t) => {
  const tablet = await tabletHere();
  await tablet.start();
  const settle = tablet.store.settle.bind(tablet.store);
  t.mock.method(tablet.store, "settle", async (/** @type {any} */ results) => {
    if ((await tablet.store.bundles()).length > 1) throw new StoreError("tablet_full", "Full.");
    return settle(results);
  });
  const [entry] = await save(tablet, draft());
  await tablet.waits.resting();
  assert.equal(tablet.sync.state.phase, "idle");
  assert.ok(office.taken.has(entry));
  assert.deepEqual(await waitingOn(tablet), []);
});

test("an old app that finds a newer one's shelf stops and says so", async (t) => {
  const tablet = await tabletHere();
  t.mock.method(tablet.store, "entries", () => Promise.reject(newerApp()));
  await tablet.sync.run();
  assert.equal(tablet.sync.state.phase, "waiting");
  assert.match(tablet.sync.state.sentence, /Close all its pages/);
  assert.equal(tablet.sync.state.nextTryAt, null);
});

test("a fault of the app's own is told, and the loop goes on", async (t) => {
  const tablet = await tabletHere();
  await save(tablet, draft());
  const fault = new TypeError("x is not a function");
  t.mock.method(tablet.api, "sendEntries", () => Promise.reject(fault), { times: 1 });
  assert.equal((await tablet.start()).phase, "waiting");
  assert.deepEqual(tablet.faults.splice(0), [fault]);
  assert.equal((await tablet.next()).phase, "idle");
  assert.equal(office.taken.size, 1);
});

test("two pages of one tablet never send at once", async () => {
  /** @type {Promise<unknown>} */
  let last = Promise.resolve();
  let most = 0;
  let now = 0;
  const locks = { request: (/** @type {string} */ _name, /** @type {object} */ _options, /** @type {() => Promise<void>} */ work) => {
    last = last.then(async () => {
      now += 1;
      most = Math.max(most, now);
      await work();
      now -= 1;
    });
    return last;
  } };
  const factory = freshTablet();
  const [one, other] = [await tabletHere({ factory, locks }), await tabletHere({ factory, locks })];
  await save(one, ...Array.from({ length: 5 }, () => draft()));
  await Promise.all([one.start(), other.start()]);
  assert.equal(most, 1);
  assert.equal(posts(), 1);
  assert.equal(office.taken.size, 5);
});

test("two pages that send at once all the same double nothing", async () => {
  const factory = freshTablet();
  const [one, other] = [await tabletHere({ factory }), await tabletHere({ factory })];
  const entries = await save(one, ...Array.from({ length: 5 }, () => draft()));
  await Promise.all([one.start(), other.start()]);
  assert.deepEqual([...office.taken.keys()], entries);
  assert.deepEqual(await waitingOn(one), []);
});

test("what the server says after the loop was stopped still counts", async () => {
  const tablet = await tabletHere();
  const [entry] = await save(tablet, draft());
  office.always = async ({ method }, answer) => {
    if (method === "POST") tablet.sync.stop();
    return answer();
  };
  await tablet.sync.run();
  assert.ok(office.taken.has(entry));
  assert.deepEqual(await waitingOn(tablet), []);
});
