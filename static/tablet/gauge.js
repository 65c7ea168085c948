/**
 * The bar that shows a measured value between its limits: figures for a drawing, no drawing.
 *
 * inspections/queries/gauge.py on the device.
 *
 * @module
 */

import { fixed } from "#tablet/fractions.js";
import { figureWords, measuredWords } from "#tablet/words.js";

/** @import {Item, System} from "#tablet/types.js" */

/**
 * @typedef {object} Gauge Where things stand on a bar that runs from LEFT to RIGHT
 * @property {number} bandFrom
 * @property {number} bandWidth
 * @property {number | null} minimumAt
 * @property {number | null} maximumAt
 * @property {number | null} valueAt
 * @property {string} minimumText
 * @property {string} maximumText
 * @property {string} valueText
 * @property {number} minimumTextAt
 * @property {number} maximumTextAt
 * @property {number} valueTextAt
 * @property {string} verdict "" while nothing was measured
 * @property {string} mark The path of the measured value's mark: a wedge when it passes, a cross when it fails
 * @property {string} words The whole picture in a sentence, for those who do not see it
 */

/** Drawing units of the bar. */
export const LEFT = 20;
export const RIGHT = 380;
const WORDS_WIDE = 64;

/**
 * Lay an item's limit and what was measured out on one bar; null where no limit is known.
 *
 * @param {Item} item
 * @param {{value: number | null, verdict: string} | null} answer
 * @param {System} system
 * @returns {Gauge | null}
 */
export function gaugeOf(item, answer, system) {
  const { limit, quantity } = item;
  if (limit === null || (limit.minimum === null && limit.maximum === null)) return null;
  const value = answer?.value ?? null;
  const verdict = answer?.verdict ?? "";
  const at = placed([limit.minimum, limit.maximum, value].filter((one) => one !== null));
  const minimumAt = at(limit.minimum);
  const maximumAt = at(limit.maximum);
  const valueAt = at(value);
  const bandFrom = minimumAt ?? LEFT;
  const valueText = value === null ? "" : measuredWords(value, limit, quantity, system);
  return {
    bandFrom,
    bandWidth: Math.max(tenths((maximumAt ?? RIGHT) - bandFrom), 2),
    minimumAt,
    maximumAt,
    valueAt,
    minimumText: limit.minimum === null ? "" : figureWords(limit.minimum, quantity, system, "up"),
    maximumText: limit.maximum === null ? "" : figureWords(limit.maximum, quantity, system, "down"),
    valueText,
    minimumTextAt: inside(minimumAt),
    maximumTextAt:
      minimumAt === null ? inside(maximumAt) : Math.max(inside(maximumAt), inside(minimumAt) + WORDS_WIDE),
    valueTextAt: inside(valueAt),
    verdict,
    mark: markAt(valueAt ?? 0, verdict),
    words:
      valueText && (verdict === "pass" || verdict === "fail")
        ? `Measured ${valueText}, allowed ${item.limit_words}: ${verdict}`
        : `Allowed: ${item.limit_words}`,
  };
}

/** @param {number[]} known @returns {(figure: number | null) => number | null} */
function placed(known) {
  const low = Math.min(...known);
  const high = Math.max(...known);
  const room = Math.max(high - low, 0.3 * Math.max(Math.abs(low), Math.abs(high)), 1e-6);
  const start = low >= 0 ? Math.max(low - 0.4 * room, 0) : low - 0.4 * room;
  const scale = (RIGHT - LEFT) / (high + 0.4 * room - start);
  return (figure) => (figure === null ? null : tenths(LEFT + (figure - start) * scale));
}

/** @param {number} value */
function tenths(value) {
  return Number(fixed(value, 1));
}

/** @param {number | null} at */
function inside(at) {
  return Math.min(Math.max(at ?? 0, LEFT + WORDS_WIDE / 2), RIGHT - WORDS_WIDE / 2);
}

/** @param {number} at @param {string} verdict */
function markAt(at, verdict) {
  if (verdict === "fail") return `M${fixed(at - 8, 1)} 24l16 16m0 -16l-16 16`;
  return `M${fixed(at, 1)} 36l-9 -17h18z`;
}
