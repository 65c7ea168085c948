import assert from "node:assert/strict";
import { test } from "node:test";
import { ENTRY_VERSION, sentForm, upgradeEntry } from "#tablet/entry_versions.js";

const FIRST = { version: 1, entry: "a", seq: 3, job: 4, kind: "answer", stage: "roof", item: "cap", text: "yes",
  taken_at: "2025-11-02T09:00:00.000-05:00", signature: null, photo: null, state: "refused",
  refusal: { code: "no", sentence: "No." }, attempts: 2 };

test("an entry of the first version is not told to have seen anything", () => {
  const { entry, bytes } = upgradeEntry(FIRST);
  assert.deepEqual(entry, { ...FIRST, saw: null, knew: "", verdict: "" });
  assert.equal(bytes, null);
});

test("an entry of the first version is sent as one", () => {
  const sent = sentForm(upgradeEntry(FIRST).entry);
  assert.equal(sent.version, 1);
  assert.equal("saw" in sent, false);
  assert.equal("verdict" in sent, false);
});

test("an entry of today is left as it is", () => {
  const entry = { ...FIRST, version: ENTRY_VERSION, saw: "b", verdict: "pass" };
  assert.equal(upgradeEntry(entry).entry, entry);
});

test("an entry of tomorrow is not guessed at", () => {
  assert.throws(() => upgradeEntry({ ...FIRST, version: 3 }), { code: "newer_app" });
});

test("an entry is sent without what only the tablet needs", () => {
  const sent = sentForm(/** @type {any} */ ({ ...FIRST, version: 2, saw: "b", knew: "c", verdict: "pass" }));
  assert.deepEqual(Object.keys(sent).sort(),
    ["entry", "item", "kind", "knew", "photo", "saw", "signature", "stage", "taken_at", "text", "verdict", "version"]);
});

test("a defect says how grave it is and where; one an older app made does not", () => {
  const made = /** @type {any} */ ({ ...FIRST, kind: "defect", version: 2, saw: null, knew: "", verdict: "" });
  assert.equal("severity" in sentForm(made), false);
  const sent = sentForm({ ...made, severity: "danger", place: "Attic" });
  assert.deepEqual([sent.severity, sent.place], ["danger", "Attic"]);
});
