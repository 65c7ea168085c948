/** An entry in words: what somebody entered, where. */
import { answerWords } from "#tablet/words.js";
import { bytesWords } from "#tablet/parts/amounts.js";
import { jobAddress, recordAddress, stageAddress } from "#tablet/places.js";

/** @typedef {import("#tablet/types.js").Entry} Entry */
/** @typedef {import("#tablet/types.js").Bundle} Bundle */

/**
 * @param {Entry} entry
 * @param {Bundle | undefined} bundle
 * @returns {{what: string, about: string}}
 */
export function entryWords(entry, bundle) {
  const stage = bundle?.stages.find((one) => one.key === entry.stage);
  const item = stage?.items.find((one) => one.key === entry.item);
  const title = stage?.title ?? "";
  switch (entry.kind) {
    case "begin":
      return { what: "Site work begun", about: "" };
    case "signature":
      return { what: "Stage signed", about: title };
    case "sign_off":
      return { what: "Job signed off", about: entry.text };
    case "defect":
      return { what: `Defect: ${entry.text}`, about: item ? `${title}: ${item.ask}` : title };
    case "photo":
      return { what: `Photo${entry.photo ? `, ${bytesWords(entry.photo.size)}` : ""}`, about: about(title, item?.ask) };
    default:
      return { what: said(entry, item), about: about(title, item?.ask) };
  }
}

/**
 * @param {string} title
 * @param {string} [ask]
 */
function about(title, ask) {
  return ask ? `${title}: ${ask}` : title;
}

/**
 * @param {Entry} entry
 * @param {import("#tablet/types.js").Item} [item]
 */
function said(entry, item) {
  // A measure stands as it was typed: that is what can be corrected.
  if (!item || item.kind === "measure" || item.kind === "note") return entry.text;
  return answerWords(item, { text: entry.text, value: null }, "imperial");
}

/**
 * Where an entry was made, and can be corrected.
 * @param {Entry} entry
 */
export function entryAddress(entry) {
  if (entry.kind === "begin") return jobAddress(entry.job);
  if (entry.kind === "sign_off") return recordAddress(entry.job);
  return stageAddress(entry.job, entry.stage, entry.kind === "defect" ? "" : entry.item);
}
