import assert from "node:assert/strict";
import { test } from "node:test";

import { formatQuantity, parseQuantity } from "#tablet/quantities.js";
import { casesOf, madeOf, wantedOf } from "./cases.js";

const QUANTITIES = casesOf("quantities.json");
const WRITTEN = casesOf("format.json").filter((one) => one.feet_from === undefined);

for (const kind of new Set(QUANTITIES.map((one) => one.kind))) {
  test(`a ${kind} is read as the table says`, () => {
    for (const one of QUANTITIES.filter((told) => told.kind === kind)) {
      const made = madeOf(() => parseQuantity(one.text, kind, one.default_unit));
      assert.deepEqual(made, wantedOf(one), JSON.stringify(one.text));
    }
  });
}

test("a quantity is written as the table says", () => {
  assert.ok(WRITTEN.length > 100);
  for (const { value = NaN, kind, system, rounding, text } of WRITTEN) {
    assert.equal(formatQuantity(value, kind, system, { rounding }), text, `${kind} ${value}`);
  }
});

test("what is shown as enough is enough when it is typed back in", () => {
  for (const kind of ["draft", "area", "thermal resistance", "percent", "slope"]) {
    for (let step = 1; step < 400; step += 1) {
      const value = step * 0.0137;
      for (const system of /** @type {const} */ (["imperial", "metric"])) {
        const least = parseQuantity(formatQuantity(value, kind, system, { rounding: "up" }), kind);
        const most = parseQuantity(formatQuantity(value, kind, system, { rounding: "down" }), kind);
        assert.ok(least >= value - 1e-6 && most <= value + 1e-6, `${kind} ${value} ${system}`);
      }
    }
  }
});

test("what is no number, or of no known kind, cannot be written", () => {
  assert.throws(() => formatQuantity(NaN, "draft"), /value must be a number/);
  assert.throws(() => formatQuantity(1, "colour"), /kind must be one of/);
});
