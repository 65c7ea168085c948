/**
 * From what a person entered to a verdict: inspections/services/reading.py on the device.
 *
 * Text not understood is refused; nothing is guessed.
 *
 * @module
 */

import { UnitError } from "#tablet/lengths.js";
import { SPACE_CLASS, characters, stripped, withoutCase } from "#tablet/plain_text.js";
import { parseQuantity } from "#tablet/quantities.js";

/** @import {Item, Limit, System, Verdict} from "#tablet/types.js" */

/**
 * @typedef {object} Reading
 * @property {string} text As it is kept
 * @property {number | null} value In SI
 * @property {Verdict} verdict
 * @property {number | null} margin Room left to the limit, negative beyond it
 */

/** What is written for an item that could not be judged on site. */
export const CANNOT_TELL = "cannot tell";
/** Lengths are typed to a sixteenth of an inch; a billionth of a metre only absorbs float noise. */
export const EQUAL_WITHIN = 1e-9;
const LONGEST_NOTE = 4000;
/** Unit of a bare length. Draft gauges differ, so draft needs its unit. */
const BARE_LENGTH = { imperial: "in", metric: "mm" };
const BARE_RESISTANCE = { imperial: "ft2 h F/Btu", metric: "m2K/W" };
/** Beyond this the figure is a slip of the unit, not a floor protector. */
const MOST_RESISTANCE = 20;
const PLUS_MINUS = /±|\+ ?\/? ?[-−–]/;
const S = `[${SPACE_CLASS}]`;
/** The R or RSI that makers' sheets print before a thermal resistance. */
const R_VALUE = new RegExp(
  `^${S}*(rsi|r)(?:[ \\-]?(?:value|factor))?${S}*[\\-=:]?${S}*(?=[0-9.,])([^\\n]*)$`,
  "iu",
);

/** An entry that cannot be taken as it is; the sentence says what to do. */
export class ReadingError extends Error {
  /** @param {string} code @param {string} sentence */
  constructor(code, sentence) {
    super(sentence);
    this.name = "ReadingError";
    this.code = code;
  }
}

/**
 * Judge one entry for one item.
 *
 * @param {{item: Item, text: string, hasPhoto?: boolean, system: System}} entered
 * @returns {Reading}
 * @throws {ReadingError}
 */
export function readAnswer({ item, text, hasPhoto = false, system }) {
  const plain = stripped(text);
  if (hasPhoto && item.kind !== "photo") {
    throw new ReadingError("photo_not_asked", `“${item.ask}” does not ask for a photo.`);
  }
  if (withoutCase(plain) === CANNOT_TELL && item.kind !== "note") return reading(CANNOT_TELL, "unknown");
  switch (item.kind) {
    case "measure":
      return measured(item, text, system);
    case "photo":
      if (!hasPhoto) throw new ReadingError("photo_missing", "Take the photo first, then send it.");
      return reading(plain, "recorded");
    case "confirm":
      return confirmed(withoutCase(plain));
    case "choose":
      return chosen(item, plain);
    default:
      return noted(plain);
  }
}

/**
 * Room left to the nearer side of a limit, negative when beyond it; null where nothing is limited.
 *
 * @param {number} value
 * @param {Limit | null} limit
 */
export function marginOf(value, limit) {
  const room = [];
  if (limit && limit.minimum !== null) room.push(value - limit.minimum);
  if (limit && limit.maximum !== null) room.push(limit.maximum - value);
  return room.length ? Math.min(...room) : null;
}

/** @param {string} text @param {Verdict} verdict @returns {Reading} */
function reading(text, verdict) {
  return { text, value: null, verdict, margin: null };
}

/** @param {Item} item @param {string} text @param {System} system @returns {Reading} */
function measured(item, text, system) {
  const value = figure(item, text, system);
  if (value < 0) throw new ReadingError("negative", withoutSign(item));
  const margin = marginOf(value, item.limit);
  const verdict = margin === null ? "unknown" : margin >= -EQUAL_WITHIN ? "pass" : "fail";
  return { text: stripped(text), value, verdict, margin };
}

/** @param {Item} item @param {string} text @param {System} system */
function figure(item, text, system) {
  try {
    if (item.quantity === "thermal resistance") return resistance(text, system);
    return parseQuantity(text, item.quantity, item.quantity === "length" ? BARE_LENGTH[system] : "");
  } catch (error) {
    if (error instanceof UnitError) throw new ReadingError(error.code, error.message);
    throw error;
  }
}

/** @param {string} text @param {System} system */
function resistance(text, system) {
  let unit = BARE_RESISTANCE[system];
  const marked = text.match(R_VALUE);
  if (marked) {
    unit = unitBehind(marked[1], text, system);
    text = marked[2];
  }
  if (PLUS_MINUS.test(text)) {
    throw new UnitError("no_tolerance", "No tolerance is kept for this figure; type it without the ±.");
  }
  const value = parseQuantity(text, "thermal resistance", unit);
  if (value > MOST_RESISTANCE) {
    throw new UnitError(
      "unbelievable",
      `“${stripped(text)}” read in ${unit} cannot be right; check the unit.`,
    );
  }
  return value;
}

/** @param {string} mark @param {string} text @param {System} system */
function unitBehind(mark, text, system) {
  if (mark.toLowerCase() === "rsi") return BARE_RESISTANCE.metric;
  if (system === "imperial") return BARE_RESISTANCE.imperial;
  throw new UnitError(
    "ambiguous_r",
    `“${stripped(text)}” could be metric or imperial; write it like 0.14 m2K/W or 0.8 ft2 h F/Btu.`,
  );
}

/** @param {Item} item */
function withoutSign(item) {
  if (item.quantity === "draft") {
    return "Type the draft without a minus sign. If the flue pushes smoke out, there is no draft: type 0 Pa.";
  }
  return "Type how much it is, without a minus sign.";
}

/** @param {string} answer */
function confirmed(answer) {
  if (answer !== "yes" && answer !== "no") {
    throw new ReadingError("yes_or_no", "Answer yes, no or cannot tell.");
  }
  return reading(answer, answer === "yes" ? "pass" : "fail");
}

/** @param {Item} item @param {string} key */
function chosen(item, key) {
  const option = item.options.find((one) => one.key === key);
  if (!option) {
    const words = item.options.map((one) => one.words).join("; ");
    throw new ReadingError("no_such_choice", `Choose one of: ${words}.`);
  }
  if (option.fails) return reading(key, "fail");
  const judges = !option.silent && item.options.some((one) => one.fails);
  return reading(key, judges ? "pass" : "recorded");
}

/** @param {string} text */
function noted(text) {
  if (!text) throw new ReadingError("note_empty", "Write the note first, then save it.");
  if (characters(text) > LONGEST_NOTE) {
    throw new ReadingError("note_too_long", `Keep the note to ${LONGEST_NOTE} characters.`);
  }
  return reading(text, "recorded");
}
