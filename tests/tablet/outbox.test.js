import assert from "node:assert/strict";
import { afterEach, beforeEach, test } from "node:test";
import { Outbox } from "#tablet/outbox.js";
import { hexDigest, INK, item, IVO, NOW, openStore } from "./fake_tablet.js";
import { bundleOf } from "./small_job.js";

/** @type {import("#tablet/store.js").Store} */
let store;
/** @type {Outbox} */
let outbox;

/** @type {any} */
const shrink = async (/** @type {Blob} */ file) => {
  const bytes = await file.arrayBuffer();
  return { bytes, media_type: file.type, width: 4, height: 3, sha256: hexDigest(bytes) };
};

beforeEach(async () => {
  store = await openStore();
  outbox = new Outbox(store, { person: IVO, now: () => NOW, shrink });
});

afterEach(() => store.close());

const AT = { job: 4, stage: "roof" };
const SAW = "11111111-1111-4111-8111-111111111111";

test("an answer is saved as it was typed, with the tablet's verdict and what it saw", async () => {
  const gap = item({ key: "gap", kind: "measure", quantity: "length", measures: true,
    limit: { minimum: 0.0508, maximum: null, unit: "m" } });
  const saved = await outbox.answer({ ...AT, item: gap, text: " 2 1/2 ", saw: SAW, system: "imperial" });
  assert.deepEqual(await store.entries(), [saved]);
  assert.equal(saved.text, "2 1/2");
  assert.equal(saved.verdict, "pass");
  assert.equal(saved.saw, SAW);
  assert.equal(saved.version, 2);
  assert.equal(Date.parse(saved.taken_at), NOW.getTime());
});

test("what cannot be read is not saved", async () => {
  const gap = item({ key: "gap", kind: "measure", quantity: "length", measures: true });
  const typed = outbox.answer({ ...AT, item: gap, text: "about two", saw: null, system: "imperial" });
  await assert.rejects(typed, (/** @type {any} */ error) => typeof error.code === "string" && error.message.length > 10);
  assert.deepEqual(await store.entries(), []);
});

test("a photo is saved with its bytes and their checksum", async () => {
  const file = new Blob([new Uint8Array(3000).fill(7)], { type: "image/jpeg" });
  const saved = await outbox.photo({ ...AT, item: item({ kind: "photo" }), file, saw: null });
  const bytes = /** @type {ArrayBuffer} */ (await store.photoBytes(saved.entry));
  assert.deepEqual(saved.photo, { sha256: hexDigest(bytes), size: 3000, media_type: "image/jpeg" });
  assert.equal(saved.kind, "photo");
  assert.equal(saved.verdict, "recorded");
});

test("the beginning of the work is an entry of its own", async () => {
  const saved = await outbox.begin(4);
  assert.deepEqual([saved.kind, saved.stage, saved.item], ["begin", "", ""]);
});

test("a drawn signature is kept to a tenth of a point", async () => {
  const ink = { ...INK, strokes: [[[10.123, 10], [300.456, 120]]] };
  const saved = await outbox.signature({ ...AT, ink });
  assert.deepEqual(saved.signature?.strokes, [[[10.1, 10], [300.5, 120]]]);
});

test("a typed name signs only as the person who is signed in", async () => {
  const typed = { strokes: [], width: 600, height: 220, name: " ivo  INSTALLER " };
  assert.equal((await outbox.signature({ ...AT, ink: typed })).kind, "signature");
  const other = outbox.signature({ ...AT, ink: { ...typed, name: "Ivo" } });
  await assert.rejects(other, { code: "signature_missing", message: /Ivo Installer/ });
});

test("a dot is no signature", async () => {
  const dot = { ...INK, strokes: [[[10, 10], [11, 11]]] };
  await assert.rejects(outbox.signature({ ...AT, ink: dot }), { code: "signature_too_small" });
  const scribble = { ...INK, strokes: Array.from({ length: 301 }, () => [[0, 0], [9, 9]]) };
  await assert.rejects(outbox.signOff({ job: 4, text: "", ink: scribble }), { code: "signature_broken" });
});

test("a defect needs words", async () => {
  await assert.rejects(outbox.defect({ ...AT, item: "", text: "  ", severity: "danger", place: "" }), { code: "description_missing" });
  await assert.rejects(outbox.defect({ ...AT, item: "", text: "x".repeat(2001), severity: "danger", place: "" }), { code: "description_too_long" });
  const saved = await outbox.defect({ ...AT, item: "cap", text: " Cap is loose. ", severity: "danger", place: " On the roof " });
  assert.deepEqual([saved.kind, saved.item, saved.text], ["defect", "cap", "Cap is loose."]);
  assert.deepEqual([saved.severity, saved.place], ["danger", "On the roof"]);
});

test("who reports a defect says how grave it is", async () => {
  const told = { ...AT, item: "", text: "Cap is loose.", place: "" };
  await assert.rejects(outbox.defect({ ...told, severity: "" }), { code: "severity_missing" });
  const long = outbox.defect({ ...told, severity: "advice", place: "x".repeat(201) });
  await assert.rejects(long, { code: "place_too_long" });
});

test("an entry tells what the tablet knew, and a sign-off the last answer it had", async () => {
  assert.equal((await outbox.signOff({ job: 7, text: "", ink: INK })).knew, "");
  const told = { answers: /** @type {any} */ ([{ entry: "first" }, { entry: SAW }]), made_at: "2026-05-04T14:00:00Z" };
  await store.keepBundle({ job: 7, fetched_at: "2026-05-04T10:00:00-04:00", etag: "a", bundle: bundleOf(told) });
  const saved = await outbox.signOff({ job: 7, text: "", ink: INK });
  assert.deepEqual([saved.knew, saved.saw], ["2026-05-04T14:00:00Z", SAW]);
});

test("a sign-off carries remarks and ink", async () => {
  const saved = await outbox.signOff({ job: 4, text: "All well.", ink: INK });
  assert.deepEqual([saved.kind, saved.text, saved.stage], ["sign_off", "All well.", ""]);
  await assert.rejects(outbox.signOff({ job: 4, text: "x".repeat(4001), ink: INK }), { code: "remarks_too_long" });
});

test("a corrected answer takes the refused one's place", async () => {
  const first = await outbox.answer({ ...AT, item: item(), text: "yes", saw: null, system: "imperial" });
  await store.refuse(first.entry, { code: "no", sentence: "No." });
  const second = await outbox.answer({ ...AT, item: item(), text: "no", saw: null, system: "imperial",
    replaces: first.entry });
  assert.deepEqual(await store.entries(), [second]);
});

test("nobody writes on another's shelf", () => {
  const other = { ...IVO, id: 8 };
  assert.throws(() => new Outbox(store, { person: other }), { code: "another_person" });
});
