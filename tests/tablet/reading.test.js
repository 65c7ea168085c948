import assert from "node:assert/strict";
import { test } from "node:test";

import { itemsApplicable } from "#tablet/applicable.js";
import { gaugeOf } from "#tablet/gauge.js";
import { ReadingError, readAnswer } from "#tablet/reading.js";
import { marginWords, measuredWords } from "#tablet/words.js";
import { CLEARANCE, INCH, bundleOf, itemOf } from "./small_job.js";

const DRAFT = itemOf({
  key: "draft", kind: "measure", quantity: "draft", limit: { minimum: 12, maximum: 25, unit: "Pa" },
  limit_words: "12.0 Pa to 25.0 Pa",
});

/** @param {import("#tablet/types.js").Item} item @param {string} text */
function codeOf(item, text) {
  try {
    readAnswer({ item, text, system: "imperial" });
  } catch (error) {
    if (error instanceof ReadingError) return error.code;
    throw error;
  }
  return "";
}

test("equal to the limit passes, and a sixteenth below it fails", () => {
  const at = readAnswer({ item: CLEARANCE, text: "2 in", system: "imperial" });
  assert.deepEqual([at.verdict, marginWords(CLEARANCE, at, "imperial")], ["pass", "exactly at the limit"]);
  const below = readAnswer({ item: CLEARANCE, text: "1 15/16", system: "imperial" });
  assert.deepEqual([below.verdict, marginWords(CLEARANCE, below, "imperial")], ["fail", "1/16 in too little"]);
});

test("a bare length is in inches or millimetres as the house is measured", () => {
  assert.equal(readAnswer({ item: CLEARANCE, text: "60", system: "metric" }).value, 0.06);
  assert.equal(readAnswer({ item: CLEARANCE, text: "60", system: "imperial" }).value, 60 * INCH);
});

test("without a limit, or where nobody can tell, it is unknown and never a pass", () => {
  const unlimited = { ...CLEARANCE, limit: null };
  assert.equal(readAnswer({ item: unlimited, text: "99", system: "imperial" }).verdict, "unknown");
  assert.deepEqual(readAnswer({ item: CLEARANCE, text: " Cannot Tell ", system: "imperial" }), {
    text: "cannot tell", value: null, verdict: "unknown", margin: null,
  });
});

test("what is not understood is refused with a code", () => {
  assert.equal(codeOf(CLEARANCE, "221/2"), "improper_fraction");
  assert.equal(codeOf(CLEARANCE, "-1"), "negative");
  assert.equal(codeOf(DRAFT, "12"), "no_unit");
  assert.equal(codeOf(itemOf({ key: "a", kind: "confirm" }), "maybe"), "yes_or_no");
  assert.equal(codeOf(itemOf({ key: "a", kind: "note" }), " "), "note_empty");
  assert.equal(codeOf(itemOf({ key: "a", kind: "note" }), "x".repeat(4001)), "note_too_long");
  assert.equal(codeOf(itemOf({ key: "a", kind: "photo" }), ""), "photo_missing");
  assert.equal(codeOf(bundleOf().stages[0].items[1], "neither"), "no_such_choice");
});

test("a thermal resistance is read as makers print it", () => {
  const item = itemOf({ key: "r", kind: "measure", quantity: "thermal resistance" });
  assert.equal(readAnswer({ item, text: "RSI 0.14", system: "imperial" }).value, 0.14);
  assert.equal(readAnswer({ item, text: "R-value: 0.8", system: "imperial" }).value, 0.140888127265);
  assert.throws(() => readAnswer({ item, text: "R 0.8", system: "metric" }), { code: "ambiguous_r" });
  assert.throws(() => readAnswer({ item, text: "99", system: "metric" }), { code: "unbelievable" });
});

test("a measure that misses its limit never reads as if it met it", () => {
  const least = { minimum: 18 * INCH, maximum: null, unit: "m" };
  assert.equal(measuredWords(17.99 * INCH, least, "length", "imperial"), "17 15/16 in");
  assert.equal(measuredWords(18.01 * INCH, least, "length", "imperial"), "18 in");
});

test("an item waits for the answer that asks for it", () => {
  const { stages } = bundleOf();
  assert.equal(itemsApplicable(stages, new Map()).has("enclosure"), false);
  const short = new Map([["shield", { text: "short", verdict: "fail" }]]);
  assert.equal(itemsApplicable(stages, short).has("enclosure"), true);
});

test("the bar says in words what it shows", () => {
  const gauge = gaugeOf(DRAFT, { value: 14, verdict: "pass" }, "metric");
  assert.equal(gauge?.words, "Measured 14.0 Pa, allowed 12.0 Pa to 25.0 Pa: pass");
  assert.ok(gauge && gauge.valueAt !== null && gauge.minimumAt !== null && gauge.maximumAt !== null);
  assert.ok(gauge.minimumAt < gauge.valueAt && gauge.valueAt < gauge.maximumAt);
  assert.equal(gaugeOf({ ...DRAFT, limit: null }, null, "metric"), null);
  assert.equal(gaugeOf(DRAFT, null, "metric")?.words, "Allowed: 12.0 Pa to 25.0 Pa");
});
