/**
 * Quantities as people write them, to SI and back: what calcs/quantities.py does, to the last bit.
 *
 * @module
 */

import { fixed, general, significant } from "#tablet/fractions.js";
import { UnitError, formatLength, parseLength, refuseThousands, rounded } from "#tablet/lengths.js";
import { SPACE_CLASS, characters, stripped, withSingleSpaces } from "#tablet/plain_text.js";
import { GROUPED, KINDS, LONGEST_TEXT, OTHER_KINDS } from "#tablet/unit_table.js";

/** @import {System} from "#tablet/types.js" */
/** @import {Rounding} from "#tablet/lengths.js" */

const S = `[${SPACE_CLASS}]`;
const NUMBER = new RegExp(`^${S}*([+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+))${S}*([^\\n]*)$`);
const THOUSANDS = new RegExp(`^${S}*([1-9][0-9]{0,2}(?:,[0-9]{3})+)${S}*([^0-9.,][^\\n]*)?$`);
const SECOND_NUMBER = new RegExp(`^${S}*[0-9/,.]`);
const DEGREES = new RegExp(`deg(?:rees?)?(?=${S}*[cf])`, "g");
const NOT_SPELLED = new RegExp(`[${SPACE_CLASS}._°º·*]+`, "g");
const SLOPE = "1/4 in per ft, 20 mm/m, 2 %, 1 in 40 or 6/12";

/**
 * A figure in SI from what a person wrote, such as `0.05 in w.c.` for a draft.
 *
 * @param {string} text
 * @param {string} kind
 * @param {string} [defaultUnit] Unit of a bare number; "" refuses one where a unit is needed
 * @throws {UnitError}
 */
export function parseQuantity(text, kind, defaultUnit = "") {
  if (kind === "length") return parseLength(text, defaultUnit || "in");
  if (characters(text) > LONGEST_TEXT) {
    throw new UnitError("too_much_text", `Type one quantity in at most ${LONGEST_TEXT} characters.`);
  }
  if (!stripped(text)) throw new UnitError("empty", `Type a ${kind}.`);
  if (kind === "slope") return slopeOf(text);
  if (kind === "ratio" || kind === "percent") return ratioOf(text, kind);
  if (kind === "count") return countOf(text);
  if (!Object.hasOwn(KINDS, kind)) {
    throw new UnitError("kind", `kind must be one of ${kindsKnown()}, not '${kind}'.`);
  }
  const known = KINDS[kind];
  const { number, unit } = split(withoutThousands(text, defaultUnit), known.example);
  const spelled = spelling(unit || defaultUnit);
  if (!spelled) {
    throw new UnitError("no_unit", `“${stripped(text)}” has no unit; write it like ${known.example}.`);
  }
  if (!Object.hasOwn(known.written, spelled)) {
    throw new UnitError("unknown_unit", `“${unit}” is no unit of ${kind} known here; use ${known.example}.`);
  }
  const [factor, offset] = known.written[spelled];
  const value = significant(number * factor + offset, 12);
  if (known.least !== null && value < known.least) {
    throw new UnitError("too_low", `“${stripped(text)}” is less than a ${kind} can be.`);
  }
  return value;
}

/**
 * A figure in SI the way it is read.
 *
 * @param {number} value
 * @param {string} kind
 * @param {System} [system]
 * @param {{rounding?: Rounding}} [how]
 */
export function formatQuantity(value, kind, system = "metric", { rounding = "nearest" } = {}) {
  if (!Number.isFinite(value)) throw new RangeError(`value must be a number, not ${value}`);
  if (kind === "length") return formatLength(value, system, { rounding });
  if (kind === "count") return general(value);
  if (kind === "ratio") return general(rounded(value, 3, rounding));
  if (kind === "percent") return `${general(rounded(value * 100, 1, rounding))} %`;
  if (kind === "slope") {
    if (system === "metric") return `${general(rounded(value * 1000, 1, rounding))} mm/m`;
    return `${formatLength(value * 0.3048, system, { rounding })} per ft`;
  }
  if (!Object.hasOwn(KINDS, kind)) throw new RangeError(`kind must be one of ${kindsKnown()}, not '${kind}'`);
  const { scale, label, decimals } = KINDS[kind].shown[system];
  return `${fixed(rounded((value - scale[1]) / scale[0], decimals, rounding), decimals)} ${label}`;
}

function kindsKnown() {
  return [...OTHER_KINDS, ...Object.keys(KINDS)].join(", ");
}

/** @param {string} unit */
function spelling(unit) {
  const plain = unit.toLowerCase().replaceAll("₂", "2").replace(/[″”]/g, '"');
  return plain.replace(DEGREES, "").replaceAll("per", "/").replace(NOT_SPELLED, "");
}

/** @param {string} text @param {string} defaultUnit */
function withoutThousands(text, defaultUnit) {
  const found = text.match(THOUSANDS);
  if (found && GROUPED.includes(spelling(found[2] || defaultUnit))) {
    return `${found[1].replaceAll(",", "")} ${found[2] ?? ""}`;
  }
  return text;
}

/** @param {string} text @param {string} example */
function split(text, example) {
  const found = text.replaceAll("−", "-").replaceAll("\u00a0", " ").match(NUMBER);
  if (!found || SECOND_NUMBER.test(found[2])) {
    throw new UnitError("not_understood", `“${stripped(text)}” was not understood; write it like ${example}.`);
  }
  refuseThousands(found[1], /^[+-]?[1-9][0-9]{0,2},[0-9]{3}$/);
  return { number: Number(found[1].replace(",", ".")), unit: stripped(found[2]) };
}

/** @param {string} text @param {string} kind */
function ratioOf(text, kind) {
  const { number, unit } = split(text, "20 %");
  const spelled = unit.toLowerCase().replace(/\.+$/, "");
  if (["%", "percent", "pc"].includes(spelled)) return number / 100;
  if (spelled) throw new UnitError("unknown_unit", `“${unit}” is no unit of ${kind}; write it like 20 %.`);
  return kind === "percent" ? number / 100 : number;
}

/** @param {string} text */
function countOf(text) {
  if (!/^[ \t-\r]*[0-9]{1,9}[ \t-\r]*$/.test(text)) {
    throw new UnitError("not_understood", `“${stripped(text)}” is no count; write a whole number such as 3.`);
  }
  return Number(text);
}

/** @param {string} text */
function slopeOf(text) {
  const plain = withSingleSpaces(stripped(text.replaceAll("−", "-")).toLowerCase());
  const pitch = plain.match(/^([0-9.]+) ?(?:\/|:|in) ?([0-9.]+)$/);
  if (pitch) return oneIn(Number(pitch[1]), Number(pitch[2]), plain);
  if (plain.endsWith("%") || plain.endsWith("percent")) return ratioOf(plain, "percent");
  const per = plain.match(/^(.+?)(?: per |\/)(?:1 )?(ft|foot|m|metre|meter)\.?$/);
  if (!per) {
    throw new UnitError("not_understood", `“${stripped(text)}” is no slope; write it like ${SLOPE}.`);
  }
  return significant(parseLength(per[1]) / (per[2].startsWith("f") ? 0.3048 : 1), 12);
}

/** @param {number} rise @param {number} run @param {string} plain */
function oneIn(rise, run, plain) {
  if (Number.isNaN(rise) || Number.isNaN(run)) {
    throw new UnitError("not_understood", `“${plain}” is no slope; write it like ${SLOPE}.`);
  }
  if (run === 0) {
    throw new UnitError("zero_denominator", `“${plain}” divides by zero; write it like ${SLOPE}.`);
  }
  if (plain.includes("/") && run !== 12) {
    throw new UnitError("no_unit", `“${plain}” has no unit; write it like ${SLOPE}.`);
  }
  return rise / run;
}
