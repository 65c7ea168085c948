import assert from "node:assert/strict";
import { test } from "node:test";

import { Fraction, fixed, general, significant } from "#tablet/fractions.js";

test("tenths and thirds are added without loss", () => {
  const sum = Fraction.ofDecimal("0.1").plus(Fraction.ofDecimal("0.2"));
  assert.deepEqual([sum.top, sum.bottom], [3n, 10n]);
  assert.equal(sum.toNumber(), 0.3);
  assert.equal(new Fraction(1n, 3n).times(new Fraction(3n)).isWhole, true);
});

test("a fraction becomes the number nearest to it", () => {
  assert.equal(new Fraction(1n, 3n).toNumber(), 1 / 3);
  assert.equal(new Fraction(-1n, 3n).toNumber(), -1 / 3);
  assert.equal(new Fraction(2n ** 53n + 1n).toNumber(), 2 ** 53);
  assert.equal(new Fraction(2n ** 53n + 3n).toNumber(), 2 ** 53 + 4);
  assert.equal(new Fraction(2n ** 54n + 3n, 2n).toNumber(), 2 ** 53 + 2);
  assert.equal(new Fraction(0n).toNumber(), 0);
});

test("a number becomes the fraction it is", () => {
  for (const value of [0, 0.5, 0.1, -22.5, 1e-7, 123456789.125, 2 ** 60, 5e-324, Number.MAX_VALUE]) {
    const { top, bottom } = Fraction.ofNumber(value);
    assert.equal(Number(top) / Number(bottom) || value, value);
  }
  assert.deepEqual({ ...Fraction.ofNumber(0.375) }, { top: 3n, bottom: 8n });
});

test("halves go to the even digit", () => {
  assert.equal(significant(1000.001953125, 12), 1000.00195312);
  assert.equal(significant(1000.005859375, 12), 1000.00585938);
  assert.equal(fixed(0.25, 1), "0.2");
  assert.equal(fixed(0.75, 1), "0.8");
  assert.equal(fixed(-2.5, 0), "-2");
});

test("a figure keeps the decimals it is given", () => {
  assert.equal(fixed(12, 1), "12.0");
  assert.equal(fixed(0.048, 3), "0.048");
  assert.equal(fixed(-0.04, 1), "-0.0");
  assert.equal(fixed(1e22, 1), "10000000000000000000000.0");
});

test("a figure is as short as six digits allow", () => {
  const written = /** @type {[number, string][]} */ ([
    [0, "0"], [20, "20"], [20.5, "20.5"], [0.1, "0.1"], [1 / 3, "0.333333"], [999999, "999999"],
    [1e6, "1e+06"], [1234567, "1.23457e+06"], [0.0001, "0.0001"], [0.00001, "1e-05"], [-12.5, "-12.5"],
    [999999.5, "1e+06"], [1e23, "1e+23"],
  ]);
  for (const [value, text] of written) assert.equal(general(value), text);
});
