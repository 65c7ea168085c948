import assert from "node:assert/strict";
import { test } from "node:test";
import { draft, freshTablet, photoDraft } from "./fake_tablet.js";
import { answerLost, json } from "./fake_office.js";
import { office, patches, save, tabletHere, waitingOn } from "./one_office.js";

test("a photo goes up in parts and its entry after it", async () => {
  const tablet = await tabletHere({ part: 1000 });
  const { entry, bytes } = photoDraft(2500);
  await tablet.store.saveEntry(entry, bytes);
  await tablet.start();
  assert.deepEqual(patches().map(({ headers }) => headers.get("Upload-Offset")), ["0", "1000", "2000"]);
  assert.deepEqual(office.photos.get(entry.entry), new Uint8Array(bytes));
  assert.ok(office.taken.has(entry.entry));
  assert.equal(await tablet.store.photoBytes(entry.entry), undefined);
});

test("a photo that was cut goes on from there, also after the app was killed", async () => {
  const factory = freshTablet();
  const first = await tabletHere({ factory, part: 1000 });
  const { entry, bytes } = photoDraft(3500);
  await first.store.saveEntry(entry, bytes);
  let parts = 0;
  office.always = async ({ method }, answer) => {
    if (method === "PATCH" && (parts += 1) === 3) return answerLost(office.asked[0], answer);
    return answer();
  };
  assert.equal((await first.start()).phase, "offline");
  await first.close();
  office.always = null;
  const second = await tabletHere({ factory, part: 1000 });
  await second.start();
  assert.deepEqual(patches().map(({ headers }) => headers.get("Upload-Offset")), ["0", "1000", "2000", "3000"]);
  assert.deepEqual(office.photos.get(entry.entry), new Uint8Array(bytes));
});

test("a part that changed on its way goes again", async () => {
  const tablet = await tabletHere({ part: 1000 });
  const { entry, bytes } = photoDraft(1500);
  await tablet.store.saveEntry(entry, bytes);
  let broken = 0;
  office.always = async ({ method }, answer) => {
    if (method === "PATCH" && (broken += 1) <= 2) return json(409, { code: "part_broken", sentence: "Send it again." });
    return answer();
  };
  assert.equal((await tablet.start()).phase, "idle");
  assert.deepEqual(office.photos.get(entry.entry), new Uint8Array(bytes));
});

test("a part that breaks every time is left for later", async () => {
  const tablet = await tabletHere();
  const { entry, bytes } = photoDraft(1500);
  await tablet.store.saveEntry(entry, bytes);
  const [other] = await save(tablet, draft());
  office.always = async ({ method }, answer) =>
    (method === "PATCH" ? json(409, { code: "part_broken", sentence: "Send it again." }) : answer());
  const state = await tablet.start();
  assert.equal(state.phase, "waiting");
  assert.equal(patches().length, 5);
  assert.ok(office.taken.has(other));
  assert.deepEqual(await waitingOn(tablet), [entry.entry]);
});

test("a photo that arrived broken as a whole begins anew", async () => {
  const tablet = await tabletHere({ part: 1000 });
  const { entry, bytes } = photoDraft(1500);
  await tablet.store.saveEntry(entry, bytes);
  office.parts.set(entry.entry, new Uint8Array(1000));
  assert.equal((await tablet.start()).phase, "idle");
  assert.deepEqual(patches().map(({ headers }) => headers.get("Upload-Offset")), ["1000", "0", "1000"]);
  assert.deepEqual(office.photos.get(entry.entry), new Uint8Array(bytes));
});

test("where the server stands elsewhere in a photo, it goes on from there", async () => {
  const tablet = await tabletHere({ part: 1000 });
  const { entry, bytes } = photoDraft(2500);
  await tablet.store.saveEntry(entry, bytes);
  office.always = async ({ method, headers }, answer) => {
    if (method === "PATCH" && headers.get("Upload-Offset") === "0") await answer();
    return answer();
  };
  assert.equal((await tablet.start()).phase, "idle");
  assert.deepEqual(office.photos.get(entry.entry), new Uint8Array(bytes));
});

test("a photo the server lost is sent again", async () => {
  const tablet = await tabletHere();
  const { entry, bytes } = photoDraft(1500);
  await tablet.store.saveEntry(entry, bytes);
  let lost = false;
  office.always = async ({ path }, answer) => {
    if (path.endsWith("/entries") && !lost) lost = office.photos.delete(entry.entry);
    return answer();
  };
  assert.equal((await tablet.start()).phase, "idle");
  assert.equal(patches().length, 2);
  assert.ok(office.taken.has(entry.entry));
});

test("a server that loses every photo is not asked without end", async () => {
  const tablet = await tabletHere();
  const { entry, bytes } = photoDraft(1500);
  await tablet.store.saveEntry(entry, bytes);
  office.always = async ({ path }, answer) => {
    if (path.endsWith("/entries")) office.photos.delete(entry.entry);
    return answer();
  };
  assert.equal((await tablet.start()).phase, "waiting");
  assert.equal(patches().length, 2);
  assert.deepEqual(await waitingOn(tablet), [entry.entry]);
});

test("a photo the server does not take is refused with its sentence", async () => {
  const tablet = await tabletHere();
  const { entry, bytes } = photoDraft(1500);
  await tablet.store.saveEntry(entry, bytes);
  office.always = async ({ method }, answer) =>
    (method === "PATCH" ? json(409, { code: "photo_too_small", sentence: "Take it again." }) : answer());
  assert.equal((await tablet.start()).phase, "idle");
  assert.equal((await tablet.store.entry(entry.entry))?.refusal?.sentence, "Take it again.");
  assert.equal((await tablet.store.photoBytes(entry.entry))?.byteLength, 1500);
});

test("parts get smaller on a line that is too slow for them", async () => {
  const tablet = await tabletHere({ part: 64 * 1024 });
  const { entry, bytes } = photoDraft(100 * 1024);
  await tablet.store.saveEntry(entry, bytes);
  office.always = async ({ method, body }, answer) => {
    if (method === "PATCH" && body.byteLength > 20 * 1024) throw new DOMException("Too slow", "TimeoutError");
    return answer();
  };
  await tablet.start();
  for (let round = 0; round < 30 && office.taken.size === 0; round += 1) await tablet.next();
  assert.deepEqual(office.photos.get(entry.entry), new Uint8Array(bytes));
});
