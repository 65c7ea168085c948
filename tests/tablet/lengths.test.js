import assert from "node:assert/strict";
import { test } from "node:test";

import { UnitError, formatLength, parseLength } from "#tablet/lengths.js";
import { casesOf, madeOf, wantedOf } from "./cases.js";

const LENGTHS = casesOf("lengths.json");
const WRITTEN = casesOf("format.json").filter((one) => one.kind === "length");

test("a length is read as the table says", () => {
  assert.ok(LENGTHS.length > 200);
  for (const one of LENGTHS) {
    const made = madeOf(() => parseLength(one.text, one.default_unit));
    assert.deepEqual(made, wantedOf(one), JSON.stringify(one.text));
  }
});

test("a length is written as the table says", () => {
  for (const { value = NaN, system, rounding, feet_from: feetFrom, text } of WRITTEN) {
    assert.equal(formatLength(value, system, { rounding, feetFrom }), text);
  }
});

test("a refusal carries a code for programs and a sentence for people", () => {
  assert.throws(() => parseLength("5 furlongs"), (error) => {
    assert.ok(error instanceof UnitError);
    assert.equal(error.code, "unknown_unit");
    assert.match(error.message, /“furlongs” is no unit of length/);
    return true;
  });
});

test("every sixteenth of an inch comes back from its own text", () => {
  for (let sixteenths = -3200; sixteenths <= 3200; sixteenths += 1) {
    const metres = (sixteenths / 16) * 0.0254;
    for (const feetFrom of [null, 1, 10]) {
      const back = parseLength(formatLength(metres, "imperial", { feetFrom }));
      assert.ok(Math.abs(back - metres) < 1e-9, String(sixteenths));
    }
  }
});

test("a least length is never shown as less and a greatest never as more", () => {
  for (let step = 0; step < 4000; step += 1) {
    const metres = step * 0.00137;
    for (const system of /** @type {const} */ (["imperial", "metric"])) {
      assert.ok(parseLength(formatLength(metres, system, { rounding: "up" })) >= metres - 1e-7);
      assert.ok(parseLength(formatLength(metres, system, { rounding: "down" })) <= metres + 1e-7);
    }
  }
});

test("what is no number cannot be written", () => {
  assert.throws(() => formatLength(NaN), /metres must be a number/);
  assert.throws(() => formatLength(Infinity, "metric"), /metres must be a number/);
});
