/**
 * Exact arithmetic and decimal rounding, so that what is read here is to the last bit what the server reads.
 *
 * @module
 */

/** A whole number of halves, thirds, thousandths ...: nothing is lost before it becomes a number. */
export class Fraction {
  /** @param {bigint} top @param {bigint} [bottom] Above nothing */
  constructor(top, bottom = 1n) {
    const shared = greatestShared(top < 0n ? -top : top, bottom);
    this.top = top / shared;
    this.bottom = bottom / shared;
  }

  /** @param {string} text Digits with at most one point, such as "22.5" or ".5" */
  static ofDecimal(text) {
    const [whole, behind = ""] = text.split(".");
    return new Fraction(BigInt(`${whole}${behind}`), 10n ** BigInt(behind.length));
  }

  /** @param {number} value Any finite number; none is rounded */
  static ofNumber(value) {
    const view = new DataView(new ArrayBuffer(8));
    view.setFloat64(0, value);
    const bits = view.getBigUint64(0);
    const raised = Number((bits >> 52n) & 0x7ffn);
    const mantissa = (bits & 0xfffffffffffffn) | (raised ? 1n << 52n : 0n);
    const signed = value < 0 ? -mantissa : mantissa;
    const power = (raised || 1) - 1075;
    return power < 0 ? new Fraction(signed, 1n << BigInt(-power)) : new Fraction(signed << BigInt(power));
  }

  /** @param {Fraction} other */
  plus(other) {
    return new Fraction(this.top * other.bottom + other.top * this.bottom, this.bottom * other.bottom);
  }

  /** @param {Fraction} other */
  times(other) {
    return new Fraction(this.top * other.top, this.bottom * other.bottom);
  }

  get isWhole() {
    return this.bottom === 1n;
  }

  /** The whole number nearest to it; of two equally near the even one. Not for those below nothing. */
  get nearestWhole() {
    const whole = this.top / this.bottom;
    const rest = 2n * (this.top % this.bottom);
    return rest > this.bottom || (rest === this.bottom && whole % 2n === 1n) ? whole + 1n : whole;
  }

  /** The number nearest to it. @returns {number} */
  toNumber() {
    if (this.top < 0n) return -new Fraction(-this.top, this.bottom).toNumber();
    const short = 80 - (bitLength(this.top) - bitLength(this.bottom));
    const shift = BigInt(Math.max(short, 0));
    const shifted = this.top << shift;
    // The last bit only says that something was left over: rounding to 53 bits then goes the right way.
    const left = shifted % this.bottom ? 1n : 0n;
    return Number((shifted / this.bottom) | left) / 2 ** Number(shift);
  }
}

/**
 * The number nearest to what its first so many digits say.
 *
 * @param {number} value
 * @param {number} count
 */
export function significant(value, count) {
  if (value === 0) return 0;
  const { sign, digits, exponent } = leadingDigits(value, count);
  return Number(`${sign}${digits}e${exponent - count + 1}`);
}

/**
 * With exactly so many digits behind the point.
 *
 * @param {number} value
 * @param {number} decimals
 */
export function fixed(value, decimals) {
  const scaled = Fraction.ofNumber(Math.abs(value)).times(new Fraction(10n ** BigInt(decimals))).nearestWhole;
  const digits = scaled.toString().padStart(decimals + 1, "0");
  const cut = digits.length - decimals;
  const sign = value < 0 || Object.is(value, -0) ? "-" : "";
  return `${sign}${digits.slice(0, cut)}${decimals ? `.${digits.slice(cut)}` : ""}`;
}

/**
 * As short as six digits allow: 20, 12.5, 1e+06.
 *
 * @param {number} value
 */
export function general(value) {
  if (value === 0) return "0";
  const { sign, digits, exponent } = leadingDigits(value, 6);
  const kept = digits.replace(/0+$/, "");
  if (exponent < -4 || exponent >= 6) {
    const power = `${exponent < 0 ? "-" : "+"}${String(Math.abs(exponent)).padStart(2, "0")}`;
    return `${sign}${kept[0]}${kept.length > 1 ? `.${kept.slice(1)}` : ""}e${power}`;
  }
  if (exponent < 0) return `${sign}0.${"0".repeat(-exponent - 1)}${kept}`;
  const whole = kept.padEnd(exponent + 1, "0");
  return `${sign}${whole.slice(0, exponent + 1)}${whole.length > exponent + 1 ? `.${whole.slice(exponent + 1)}` : ""}`;
}

/**
 * @param {number} value Not 0
 * @param {number} count
 */
function leadingDigits(value, count) {
  const exact = Fraction.ofNumber(Math.abs(value));
  let exponent = Number(value.toExponential().split("e")[1]);
  let digits = "";
  while (digits.length !== count) {
    // Too few or too many digits: the number stands on the other side of a power of ten.
    if (digits) exponent += digits.length > count ? 1 : -1;
    const power = 10n ** BigInt(Math.abs(count - 1 - exponent));
    const scale = exponent < count ? new Fraction(power) : new Fraction(1n, power);
    digits = exact.times(scale).nearestWhole.toString();
  }
  return { sign: value < 0 ? "-" : "", digits, exponent };
}

/** @param {bigint} one @param {bigint} other */
function greatestShared(one, other) {
  while (other) [one, other] = [other, one % other];
  return one || 1n;
}

/** @param {bigint} value */
function bitLength(value) {
  return value.toString(2).length;
}
