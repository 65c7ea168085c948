/**
 * Answers in words, wherever they are: on the server, on their way, only here, refused or late.
 *
 * @module
 */

import { readAnswer } from "#tablet/reading.js";
import { answerWords, marginWords } from "#tablet/words.js";

/** @import {Answer, Entry, Item, LateEntry, Receipt, System} from "#tablet/types.js" */
/** @import {AnswerView, Where} from "#tablet/record_shapes.js" */

/** @param {Answer} answer @returns {AnswerView} */
export function serversAnswer({ entry, stage, item, text, value, verdict, said, margin, by, received_at, photo }) {
  const hasPhoto = photo !== null;
  const told = { text, value, verdict, said, margin, by, at: received_at, photo, hasPhoto };
  return { entry, stage, item, ...told, where: "server", differs: false, sentence: "" };
}

/** @param {LateEntry} late @returns {AnswerView} */
export function lateAnswer({ entry, stage, item, words, why, by, received_at }) {
  return { ...notRead({ entry, stage, item, text: words }), by, at: received_at, where: "late", sentence: why };
}

/**
 * What was entered here, judged here; where the server has judged it, that counts.
 *
 * @param {Item} item
 * @param {Entry} entry
 * @param {Receipt | null} receipt
 * @param {{by: string, system: System}} told
 * @returns {AnswerView}
 */
export function enteredAnswer(item, entry, receipt, { by, system }) {
  const hasPhoto = entry.photo !== null;
  const view = {
    ...notRead(entry),
    by,
    at: receipt?.received_at ?? entry.taken_at,
    hasPhoto,
    where: whereabouts(entry, receipt),
    differs: receipt?.differs ?? false,
    sentence: receipt?.sentence ?? entry.refusal?.sentence ?? "",
  };
  try {
    const reading = readAnswer({ item, text: entry.text, hasPhoto, system });
    view.text = reading.text;
    view.value = reading.value;
    view.verdict = reading.verdict;
    view.said = answerWords(item, { ...reading, hasPhoto }, system);
    view.margin = marginWords(item, reading, system);
  } catch (error) {
    if (!(error instanceof Error && "code" in error)) throw error;
    view.sentence ||= error.message;
  }
  if (!receipt?.verdict) return view;
  return { ...view, verdict: receipt.verdict, said: receipt.said, margin: receipt.margin };
}

/** @param {Pick<Entry, "entry" | "stage" | "item" | "text">} told @returns {AnswerView} */
function notRead({ entry, stage, item, text }) {
  const unread = { text, value: null, verdict: /** @type {const} */ (""), said: text, margin: "" };
  const untold = { by: "", at: "", photo: null, hasPhoto: false, differs: false, sentence: "" };
  return { entry, stage, item, ...unread, ...untold, where: "here" };
}

/** @param {Entry} entry @param {Receipt | null} receipt @returns {Where} */
function whereabouts(entry, receipt) {
  if (receipt) return receipt.outcome === "late" ? "late" : "sent";
  return entry.state === "refused" ? "refused" : "here";
}
