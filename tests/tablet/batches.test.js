import assert from "node:assert/strict";
import { test } from "node:test";
import { nextBatch, nextPhoto } from "#tablet/batches.js";
import { draft, photoDraft, signatureDraft } from "./fake_tablet.js";

/** @typedef {import("#tablet/types.js").Entry} Entry */
/** @typedef {import("#tablet/entry_shelf.js").EntryDraft} EntryDraft */

/**
 * @param {EntryDraft[]} drafts
 * @returns {Entry[]}
 */
function waiting(...drafts) {
  return drafts.map((one, at) => ({ ...one, seq: at + 1, state: "waiting", refusal: null, attempts: 0 }));
}

/** @param {{uploaded?: Entry[], aside?: Entry[]}} [told] */
function standing({ uploaded = [], aside = [] } = {}) {
  return { uploaded: new Set(uploaded.map(({ entry }) => entry)), aside: new Set(aside.map(({ entry }) => entry)) };
}

const photo = (about = {}) => photoDraft(10, about).entry;

test("entries go in the order they were made", () => {
  const all = waiting(draft(), draft(), draft());
  assert.deepEqual(nextBatch(all, standing()), all);
});

test("a batch holds no more than it may", () => {
  const all = waiting(...Array.from({ length: 60 }, () => draft()));
  assert.equal(nextBatch(all, standing()).length, 50);
  assert.deepEqual(nextBatch(all, { ...standing(), most: 3 }), all.slice(0, 3));
});

test("two entries of one item never go together", () => {
  const all = waiting(draft({ item: "cap" }), draft(), draft({ item: "cap" }), draft({ item: "cap", stage: "attic" }));
  assert.deepEqual(nextBatch(all, standing()), [all[0], all[1], all[3]]);
});

test("the beginning goes alone and before everything", () => {
  const all = waiting(draft({ kind: "begin", stage: "", item: "" }), draft());
  assert.deepEqual(nextBatch(all, standing()), [all[0]]);
  assert.deepEqual(nextBatch(all, standing({ aside: [all[0]] })), []);
});

test("a photo whose bytes are not up holds nothing up but its item and a signature", () => {
  const all = waiting(photo({ item: "cap" }), draft(), draft({ item: "cap" }), signatureDraft(),
    draft({ stage: "handover" }));
  assert.deepEqual(nextBatch(all, standing()), [all[1], all[4]]);
  assert.deepEqual(nextBatch(all, standing({ uploaded: [all[0]] })), [all[0], all[1], all[4]]);
});

test("a signature goes alone, when nothing before it waits", () => {
  const all = waiting(draft(), signatureDraft(), draft());
  assert.deepEqual(nextBatch(all, standing()), [all[0]]);
  assert.deepEqual(nextBatch(all.slice(1), standing()), [all[1]]);
});

test("a signature waits for an entry that was put aside", () => {
  const all = waiting(draft(), signatureDraft());
  assert.deepEqual(nextBatch(all, standing({ aside: [all[0]] })), []);
});

test("nothing passes a sign-off", () => {
  const all = waiting(photo(), signatureDraft({ kind: "sign_off", stage: "" }), draft());
  assert.deepEqual(nextBatch(all, standing()), []);
});

test("a later entry never passes one of its item that was put aside", () => {
  const all = waiting(draft({ item: "cap" }), draft({ item: "cap" }), draft());
  assert.deepEqual(nextBatch(all, standing({ aside: [all[0]] })), [all[2]]);
});

test("defects of a stage without an item go together", () => {
  const all = waiting(draft({ kind: "defect", item: "" }), draft({ kind: "defect", item: "" }));
  assert.deepEqual(nextBatch(all, standing()), all);
});

test("what puts a defect right waits until the server knows the defect", () => {
  const raised = draft({ kind: "defect", item: "" });
  const key = `defect-${raised.entry.replaceAll("-", "").slice(0, 12)}`;
  const all = waiting(raised, draft({ item: key }), draft({ item: `${key}-photo` }));
  assert.deepEqual(nextBatch(all, standing()), [all[0]]);
  assert.deepEqual(nextBatch(all.slice(1), standing()), all.slice(1));
});

test("photos go up in the order they were taken", () => {
  const all = waiting(draft(), photo(), photo());
  assert.equal(nextPhoto(all, standing()), all[1]);
  assert.equal(nextPhoto(all, standing({ uploaded: [all[1]] })), all[2]);
  assert.equal(nextPhoto(all, standing({ aside: [all[1], all[2]] })), null);
});

test("no photo goes up for a job whose beginning does not get through", () => {
  const all = waiting(draft({ kind: "begin", stage: "", item: "" }), photo());
  assert.equal(nextPhoto(all, standing({ aside: [all[0]] })), null);
});
