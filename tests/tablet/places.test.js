import assert from "node:assert/strict";
import { test } from "node:test";

import { jobAddress, JOBS, placeAt, planAddress, recordAddress, stageAddress, THIS_TABLET, UNSENT } from "#tablet/places.js";

const START = { name: "jobs", job: 0, stage: "", item: "" };

test("every address leads back to its place", () => {
  assert.deepEqual(placeAt(JOBS), START);
  assert.deepEqual(placeAt(UNSENT), { ...START, name: "unsent" });
  assert.deepEqual(placeAt(THIS_TABLET), { ...START, name: "tablet" });
  assert.deepEqual(placeAt(jobAddress(12)), { ...START, name: "job", job: 12 });
  assert.deepEqual(placeAt(planAddress(12)), { ...START, name: "plan", job: 12 });
  assert.deepEqual(placeAt(recordAddress(12)), { ...START, name: "record", job: 12 });
  const stage = { ...START, name: "stage", job: 12, stage: "roof_flashing" };
  assert.deepEqual(placeAt(stageAddress(12, "roof_flashing")), stage);
  const item = { ...stage, item: "defect-1a2b3c4d5e6f" };
  assert.deepEqual(placeAt(stageAddress(12, "roof_flashing", "defect-1a2b3c4d5e6f")), item);
});

test("an address that names nothing leads to the jobs", () => {
  for (const hash of ["", "#", "#/", "#content", "#/job", "#/job/abc", "#/job/-1", "#/nowhere/12"]) {
    assert.deepEqual(placeAt(hash), START, hash);
  }
});

test("a part that is no key is left out", () => {
  assert.deepEqual(placeAt("#/job/12/stage/<b>"), { ...START, name: "job", job: 12 });
  assert.equal(placeAt("#/job/12/stage/position/a b").item, "");
});
