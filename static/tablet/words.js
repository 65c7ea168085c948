/**
 * Answers, limits and margins in words, in the units of the site: jobs/figures.py and
 * inspections/queries/wording.py on the device.
 *
 * @module
 */

import { general } from "#tablet/fractions.js";
import { formatLength } from "#tablet/lengths.js";
import { formatQuantity } from "#tablet/quantities.js";
import { CANNOT_TELL, EQUAL_WITHIN } from "#tablet/reading.js";

/** @import {Item, Limit, System} from "#tablet/types.js" */
/** @import {Rounding} from "#tablet/lengths.js" */
/** @import {Reading} from "#tablet/reading.js" */

/** From here on a length reads better in feet and inches. */
const FEET_FROM = 10;
/** @type {Record<string, string>} */
const CONFIRMED = { yes: "Yes", no: "No", [CANNOT_TELL]: "Cannot tell" };

/**
 * A figure in SI with its unit.
 *
 * @param {number} value
 * @param {string} kind
 * @param {System} system
 * @param {Rounding} [rounding]
 */
export function figureWords(value, kind, system, rounding = "nearest") {
  if (kind === "length") return formatLength(value, system, { feetFrom: FEET_FROM, rounding });
  if (kind) return formatQuantity(value, kind === "ratio" ? "percent" : kind, system, { rounding });
  return general(value);
}

/**
 * A measured figure; one that misses its limit never reads as if it met it.
 *
 * @param {number} value
 * @param {Limit | null} limit
 * @param {string} kind
 * @param {System} system
 */
export function measuredWords(value, limit, kind, system) {
  const least = limit?.minimum ?? -Infinity;
  const most = limit?.maximum ?? Infinity;
  if (value < least - EQUAL_WITHIN) return figureWords(value, kind, system, "down");
  if (value > most + EQUAL_WITHIN) return figureWords(value, kind, system, "up");
  return figureWords(value, kind, system);
}

/**
 * An answer as it was read: a figure in the site's units, a choice in its words.
 *
 * @param {Item} item
 * @param {{text: string, value: number | null, hasPhoto?: boolean}} answer
 * @param {System} system
 */
export function answerWords(item, { text, value, hasPhoto = false }, system) {
  switch (item.kind) {
    case "measure":
      if (value === null) return "Could not be measured";
      return measuredWords(value, item.limit, item.quantity, system);
    case "choose":
      return item.options.find((one) => one.key === text)?.words ?? "Cannot tell";
    case "confirm":
      return Object.hasOwn(CONFIRMED, text) ? CONFIRMED[text] : text;
    case "photo":
      return hasPhoto ? text || "Photo" : "Could not be photographed";
    default:
      return text;
  }
}

/**
 * How much room is left, or by how much the limit is missed; "" where nothing was held to one.
 *
 * @param {Item} item
 * @param {Pick<Reading, "value" | "margin">} reading
 * @param {System} system
 */
export function marginWords(item, { value, margin }, system) {
  if (margin === null || value === null || item.limit === null) return "";
  if (Math.abs(margin) <= EQUAL_WITHIN) return "exactly at the limit";
  if (margin > 0) return `${figureWords(margin, item.quantity, system, "down")} to spare`;
  const missed = figureWords(-margin, item.quantity, system, "up");
  const tooLittle = item.limit.minimum !== null && value < item.limit.minimum;
  return `${missed} too ${tooLittle ? "little" : "much"}`;
}

/**
 * What is wrong with an answer that failed or stayed unknown.
 *
 * @param {Item} item
 * @param {Reading & {hasPhoto?: boolean}} reading
 * @param {System} system
 */
export function defectSentence(item, reading, system) {
  const said = answerWords(item, reading, system);
  if (item.kind !== "measure") return `${item.ask}: ${said}.`;
  if (reading.value === null) {
    return `${item.ask}: could not be measured${item.limit ? `; ${item.limit_words} is required.` : "."}`;
  }
  if (item.limit === null || reading.verdict === "unknown") {
    return (
      `${item.ask}: measured ${said}, but no limit is known, so it cannot be judged. The plan lacks a` +
      " figure: the office finds it in the listing, or the inspector decides."
    );
  }
  const margin = marginWords(item, reading, system);
  return (
    `${item.ask}: measured ${said}, ${item.limit_words} is required; ${margin}. ` +
    `Source: ${item.source_words}.`
  );
}
