/** The tables of cases that the server's parsers are held to as well. */

import { readFileSync } from "node:fs";

/**
 * @typedef {object} Case
 * @property {string} text
 * @property {string} [default_unit]
 * @property {number} [metres]
 * @property {number} [value]
 * @property {string} [error]
 * @property {string} [sentence]
 * @property {string} kind
 * @property {import("#tablet/types.js").System} system
 * @property {import("#tablet/lengths.js").Rounding} rounding
 * @property {number} [feet_from]
 */

/** @param {string} name @returns {Case[]} Every case with what its group says of all of them */
export function casesOf(name) {
  const file = new URL(`../cases/${name}`, import.meta.url);
  /** @type {{groups: {about: string, cases: Case[]}[]}} */
  const { groups } = JSON.parse(readFileSync(file, "utf8"));
  return groups.flatMap(({ cases, ...told }) => cases.map((one) => ({ ...told, ...one })));
}

/** What a parser makes of a case, in the words of the table. @param {() => number} parse */
export function madeOf(parse) {
  try {
    return { value: parse() };
  } catch (error) {
    if (!(error instanceof Error && "code" in error)) throw error;
    return { error: error.code, sentence: error.message };
  }
}

/** What the table wants of a case. @param {Case} told */
export function wantedOf({ metres, value, error, sentence }) {
  return error === undefined ? { value: metres ?? value } : { error, sentence };
}
