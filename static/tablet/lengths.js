/**
 * Lengths as people write them, to metres and back: what calcs/lengths.py does, to the last bit.
 *
 * Both are held to tests/cases/lengths.json and tests/cases/format.json.
 *
 * @module
 */

import { Fraction, significant } from "#tablet/fractions.js";
import { characters, stripped, withSingleSpaces } from "#tablet/plain_text.js";
import { FRACTIONS, LONGEST, LONGEST_TEXT, METRES, SIGNS, UNIT_WORDS } from "#tablet/unit_table.js";

/** @import {System} from "#tablet/types.js" */

/**
 * @typedef {"nearest" | "up" | "down"} Rounding By size: up never shows a least figure as less than it is
 * @typedef {{amount: string, unit: string}} Term The unit is "" where none is written
 */

const INCH = 0.0254;
const DENOMINATOR = 16;
const NUMBER = "(?:[0-9]+\\.?[0-9]*|\\.[0-9]+)";
const AMOUNT = `(?:[0-9]+(?: |-|- )[0-9]+/[0-9]+|[0-9]+/[0-9]+|${NUMBER})`;
const TERM = new RegExp(`(${AMOUNT}) ?([a-z]+\\.?|['"])?`, "y");
// 1'-10" is how drawings join feet and inches.
const JOINT = / ?- ?| /y;
const SIGN = new RegExp(`[${Object.keys(SIGNS).join("")}]`, "g");
const FRACTION = new RegExp(`[${Object.keys(FRACTIONS).join("")}]`, "g");

/** Text that was not understood; the code is for programs, the sentence for people. */
export class UnitError extends Error {
  /** @param {string} code @param {string} sentence */
  constructor(code, sentence) {
    super(sentence);
    this.name = "UnitError";
    this.code = code;
  }
}

/**
 * Metres from what a person wrote, such as `22 1/2`, `1' 10 1/2"` or `571.5 mm`.
 *
 * @param {string} text
 * @param {string} [defaultUnit] Unit of a bare number: in | ft | mm | cm | m
 * @throws {UnitError}
 */
export function parseLength(text, defaultUnit = "in") {
  if (!Object.hasOwn(METRES, defaultUnit)) {
    throw new UnitError("default_unit", `default_unit must be one of ${Object.keys(METRES).join(", ")}.`);
  }
  if (characters(text) > LONGEST_TEXT) {
    throw new UnitError("too_much_text", `Type one length in at most ${LONGEST_TEXT} characters.`);
  }
  let plain = plainly(text);
  if (!plain) throw new UnitError("empty", "Type a length, such as 22 1/2 in or 572 mm.");
  plain = withDecimalPoint(plain);
  const sign = plain.startsWith("-") ? -1 : 1;
  if (/^[+-]/.test(plain)) plain = stripped(plain.slice(1));
  if (!plain) {
    throw new UnitError(
      "not_understood",
      `“${stripped(text)}” holds no number; write it like 22 1/2 in or 572 mm.`,
    );
  }
  const metres = metresOf(termsOf(plain, text), defaultUnit, text);
  if (metres > LONGEST) {
    throw new UnitError("too_long", `“${stripped(text)}” is longer than any building; check the unit.`);
  }
  return sign * significant(metres, 12) + 0;
}

/**
 * A length the way it is read off a tape: inches to a sixteenth, or whole millimetres.
 *
 * @param {number} metres
 * @param {System} [system]
 * @param {{rounding?: Rounding, feetFrom?: number | null}} [how] feetFrom: feet and inches from so many feet on
 */
export function formatLength(metres, system = "imperial", { rounding = "nearest", feetFrom = null } = {}) {
  if (!Number.isFinite(metres)) throw new RangeError(`metres must be a number, not ${metres}`);
  if (system === "metric") {
    const whole = roundedSteps(Math.abs(metres) * 1000, rounding);
    return `${metres < 0 && whole ? "-" : ""}${BigInt(whole)} mm`;
  }
  const steps = roundedSteps((Math.abs(metres) / INCH) * DENOMINATOR, rounding);
  const sign = metres < 0 && steps ? "-" : "";
  if (feetFrom === null || steps < 12 * feetFrom * DENOMINATOR) return `${sign}${mixed(BigInt(steps))} in`;
  const foot = BigInt(12 * DENOMINATOR);
  const rest = BigInt(steps) % foot;
  return `${sign}${BigInt(steps) / foot} ft${rest ? ` ${mixed(rest)} in` : ""}`;
}

/**
 * Rounded to so many decimals, up or down where a limit must not be shown easier than it is.
 *
 * @param {number} value
 * @param {number} decimals
 * @param {Rounding} rounding
 */
export function rounded(value, decimals, rounding) {
  const step = 10 ** decimals;
  return roundedSteps(value * step, rounding) / step + 0;
}

/** @param {number} value @param {Rounding} rounding */
function roundedSteps(value, rounding) {
  // A millionth of a step only absorbs the noise of the conversion.
  if (rounding === "up") return Math.ceil(value - 1e-6);
  if (rounding === "down") return Math.floor(value + 1e-6);
  return Math.floor(value + 0.5 + 1e-9);
}

/** @param {bigint} steps */
function mixed(steps) {
  const whole = steps / BigInt(DENOMINATOR);
  const part = new Fraction(steps % BigInt(DENOMINATOR), BigInt(DENOMINATOR));
  if (!part.top) return String(whole);
  const fraction = `${part.top}/${part.bottom}`;
  return whole ? `${whole} ${fraction}` : fraction;
}

/** @param {string} text */
function plainly(text) {
  const plain = text.replace(SIGN, (sign) => SIGNS[sign]).replace(FRACTION, (sign) => ` ${FRACTIONS[sign]} `);
  return stripped(withSingleSpaces(plain)).toLowerCase().replaceAll("''", '"').replace(/ ?\/ ?/g, "/");
}

/** @param {string} plain */
function withDecimalPoint(plain) {
  const number = plain.match(/[0-9.,]*,[0-9.,]*/)?.[0];
  if (number === undefined) return plain;
  if (!/^[0-9]*,[0-9]+$/.test(number) || plain.split(",").length > 2) {
    throw new UnitError("comma", `“${number}” has a comma that is not a decimal comma; write it without.`);
  }
  refuseThousands(number, /^[1-9][0-9]{0,2},[0-9]{3}$/);
  return plain.replace(",", ".");
}

/** @param {string} number @param {RegExp} couldBeBoth */
export function refuseThousands(number, couldBeBoth) {
  if (couldBeBoth.test(number)) {
    throw new UnitError(
      "ambiguous_comma",
      `“${number}” could be one and a bit or a thousand and more; write it without the comma.`,
    );
  }
}

/** @param {string} plain @param {string} text @returns {Term[]} */
function termsOf(plain, text) {
  const found = [];
  let at = 0;
  while (at < plain.length) {
    const term = matchAt(TERM, plain, at);
    if (!term) {
      const what = at ? `“${plain.slice(at)}” in “${stripped(text)}”` : `“${stripped(text)}”`;
      throw new UnitError("not_understood", `${what} was not understood; write it like 22 1/2 in or 572 mm.`);
    }
    const written = term[2] ?? "";
    if (written && !Object.hasOwn(UNIT_WORDS, written)) {
      throw new UnitError(
        "unknown_unit",
        `“${written}” is no unit of length known here; use in, ft, mm, cm or m.`,
      );
    }
    const unit = written ? UNIT_WORDS[written] : "";
    found.push({ amount: term[1], unit });
    at += term[0].length;
    const joint = matchAt(JOINT, plain, at);
    if (joint && at + joint[0].length < plain.length) {
      at += joint[0].length;
      if (joint[0].includes("-") && unit !== "ft") {
        throw new UnitError(
          "not_understood",
          `The dash in “${stripped(text)}” was not understood; leave it out.`,
        );
      }
    }
  }
  return found;
}

/** @param {RegExp} pattern Sticky @param {string} text @param {number} at */
function matchAt(pattern, text, at) {
  pattern.lastIndex = at;
  return pattern.exec(text);
}

/** @param {Term[]} terms @param {string} defaultUnit @param {string} text */
function metresOf(terms, defaultUnit, text) {
  const [first, second] = terms;
  if (terms.length === 1) {
    const unit = Fraction.ofDecimal(METRES[first.unit || defaultUnit]);
    return amountOf(first.amount).times(unit).toNumber();
  }
  if (terms.length !== 2 || first.unit !== "ft" || (second.unit && second.unit !== "in")) {
    throw new UnitError(
      "two_lengths",
      `“${stripped(text)}” holds more than one length; write one number with its unit, ` +
        "or feet and inches like 1 ft 10 1/2 in.",
    );
  }
  const feet = amountOf(first.amount);
  const inches = amountOf(second.amount);
  if (!feet.isWhole) {
    throw new UnitError(
      "broken_feet",
      `Feet in “${stripped(text)}” are broken and inches follow; use whole feet.`,
    );
  }
  if (inches.top >= 12n * inches.bottom) {
    throw new UnitError("inches_over_twelve", `Inches after feet in “${stripped(text)}” must be under 12.`);
  }
  return feet.times(new Fraction(12n)).plus(inches).times(Fraction.ofDecimal(METRES.in)).toNumber();
}

/** @param {string} written */
function amountOf(written) {
  const parts = written.split(/[ -]+/);
  const last = /** @type {string} */ (parts.pop());
  if (!last.includes("/")) return Fraction.ofDecimal(last);
  const [top, bottom] = last.split("/").map(BigInt);
  if (bottom === 0n) {
    throw new UnitError("zero_denominator", `“${last}” divides by zero; check the fraction.`);
  }
  if (top >= bottom) {
    throw new UnitError(
      "improper_fraction",
      `“${last}” is a whole or more; is a space missing, as in 22 1/2? Write it out.`,
    );
  }
  return new Fraction(BigInt(parts[0] ?? 0)).plus(new Fraction(top, bottom));
}
