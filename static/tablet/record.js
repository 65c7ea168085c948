/**
 * One record as a whole: inspections/queries/records.py and evidence.py on the device.
 *
 * @module
 */

import { correctionItems, foundItem } from "#tablet/corrections.js";
import { gaugeOf } from "#tablet/gauge.js";
import { Ledger } from "#tablet/ledger.js";

/** @import {Bundle, Entry, Item, Receipt, Stage, System, Waiver} from "#tablet/types.js" */
/** @import {Signing} from "#tablet/record_shapes.js" */
/** @typedef {import("#tablet/record_shapes.js").AnswerView} AnswerView */
/** @typedef {import("#tablet/record_shapes.js").DefectView} DefectView */
/** @typedef {import("#tablet/record_shapes.js").ItemView} ItemView */
/** @typedef {import("#tablet/record_shapes.js").RecordView} RecordView */
/** @typedef {import("#tablet/record_shapes.js").StageView} StageView */

/**
 * A job's record with what was entered on this tablet laid over what the server said last.
 *
 * @param {{bundle: Bundle, entries: Entry[], receipts: Receipt[], by?: string}} told by: whose entries they are
 * @returns {RecordView}
 */
export function recordView({ bundle, entries, receipts, by = "" }) {
  const ledger = new Ledger(bundle, by);
  ledger.lay(receipts, entries);
  const applicable = ledger.applicable();
  /** @type {StageView[]} */
  const stages = [];
  let hold = "";
  for (const [index, stage] of bundle.stages.entries()) {
    const around = { number: index + 1, hold, applicable, system: bundle.site.system, mayCarry: bundle.may_carry };
    const view = stageView(ledger, stage, around);
    stages.push(view);
    if (stage.hold && !view.signed) hold ||= stage.title;
  }
  return {
    begun: ledger.begun,
    locally_begun: ledger.begunHere,
    all_signed: stages.every((stage) => stage.signed),
    stages,
    missing: stages.flatMap(keptFromClosing),
    openDefects: ledger.defects().filter((defect) => defect.open),
    signedOff: ledger.signedOff,
  };
}

/**
 * @param {Ledger} ledger
 * @param {Stage} stage
 * @param {{number: number, hold: string, applicable: Set<string>, system: System, mayCarry: boolean}} around
 * @returns {StageView}
 */
function stageView(ledger, stage, { number, hold, applicable, system, mayCarry }) {
  const raised = ledger.defects().filter((defect) => defect.stage === stage.key);
  const items = [
    ...stage.items.flatMap((item) => [
      ...(applicable.has(item.key) ? [item] : []),
      ...(asksForPhotos(ledger, item.key, raised) ? [foundItem(item.key)] : []),
    ]),
    ...raised.filter(isFirstAlone).flatMap(correctionItems),
  ].map((item) => itemView(ledger, item, { system, mayCarry }));
  const missing = items.filter((item) => !item.settled).map(missingSentence);
  const openDefects = raised.filter((defect) => defect.open);
  const signed = ledger.signing(stage.key);
  const { key, title, cautions, plan_says, returns } = stage;
  const stands = { signed, missing, lockedBy: hold, openDefects, items };
  return {
    key,
    title,
    number,
    hold: stage.hold,
    cautions,
    plan_says,
    ...stands,
    canSign: canSign(stands),
    answered: items.filter((item) => item.settled && item.answer).length,
    state: stateOf(stands),
    returns,
  };
}

/**
 * Whether a defect asks for items of its own. One that failed again after it was put right has a further defect,
 * and still one item.
 *
 * @param {DefectView} defect
 * @param {number} place
 * @param {DefectView[]} raised
 */
function isFirstAlone(defect, place, raised) {
  return defect.raised_alone && raised.findIndex((one) => one.item === defect.item) === place;
}

/**
 * Whether photos of a defect as found are wanted beside an item of the checklist, or were taken.
 *
 * @param {Ledger} ledger
 * @param {string} key
 * @param {DefectView[]} raised
 */
function asksForPhotos(ledger, key, raised) {
  const here = raised.filter((defect) => defect.item === key);
  return here.some((defect) => defect.open) || (here.length > 0 && ledger.latest(foundItem(key).key) !== null);
}

/**
 * @param {Ledger} ledger
 * @param {Item} item
 * @param {{system: System, mayCarry: boolean}} around
 * @returns {ItemView}
 */
function itemView(ledger, item, { system, mayCarry }) {
  const answer = ledger.latest(item.key);
  const defects = ledger.defectsOf(item.key);
  const defect = defects.find((one) => one.open) ?? null;
  const waiver = coveringWaiver(defects, answer);
  return {
    key: item.key,
    item,
    required: item.required,
    answer,
    history: ledger.history(item.key),
    defect,
    waiver,
    settled: defect ? mayStay(item, answer, defect, mayCarry) : isSettled(item, answer, waiver),
    gauge: gaugeOf(item, answer, system),
    stands: answer?.entry ?? null,
  };
}

/**
 * Whether a stage may be signed over an open defect; what is not known stays in the way.
 *
 * @param {Item} item
 * @param {AnswerView | null} answer
 * @param {DefectView} defect
 * @param {boolean} mayCarry
 */
function mayStay(item, answer, defect, mayCarry) {
  const notKnown = answer === null || answer.verdict === "unknown";
  if (notKnown && item.required && !defect.raised_alone) return false;
  return defect.severity === "advice" || (mayCarry && !defect.came_for);
}

/**
 * @param {Item} item
 * @param {AnswerView | null} answer
 * @param {Waiver | null} waiver
 */
function isSettled(item, answer, waiver) {
  if (!item.required) return true;
  if (!answer) return false;
  const settling = item.as_found ? ["pass", "recorded", "fail"] : ["pass", "recorded"];
  return waiver !== null || settling.includes(answer.verdict);
}

/**
 * A waiver accepts what had been found when it was given, nothing entered after it.
 *
 * @param {DefectView[]} defects
 * @param {AnswerView | null} latest
 */
function coveringWaiver(defects, latest) {
  const waivers = defects.flatMap((defect) => defect.waiver ?? []).reverse();
  // What only this tablet has reaches the server after every waiver it knows of.
  if (latest?.where === "here") return null;
  return waivers.find((waiver) => !latest || !isBefore(waiver.at, latest.at)) ?? null;
}

/** To the microsecond, which a Date does not hold. @param {string} one @param {string} other */
function isBefore(one, other) {
  const apart = Date.parse(one) - Date.parse(other);
  return apart ? apart < 0 : microseconds(one) < microseconds(other);
}

/** @param {string} moment */
function microseconds(moment) {
  return (moment.match(/\.(\d+)/)?.[1] ?? "").padEnd(6, "0");
}

/** @param {{signed: Signing | null, missing: string[], lockedBy: string}} stage */
function canSign({ signed, missing, lockedBy }) {
  return !signed && missing.length === 0 && !lockedBy;
}

/**
 * @param {Pick<StageView, "signed" | "missing" | "lockedBy" | "openDefects" | "items">} stage
 * @returns {StageView["state"]}
 */
function stateOf(stage) {
  if (stage.signed) return "signed";
  if (canSign(stage)) return "ready to sign";
  if (stage.openDefects.length) return "defect open";
  if (stage.items.some((item) => item.answer)) return "under way";
  return stage.lockedBy ? "locked" : "not begun";
}

/** @param {ItemView} item */
function missingSentence({ item, answer, defect }) {
  if (defect) {
    return (
      `${item.ask} - a defect is open. Put it right and enter it again, or ask the inspector to accept it.`
    );
  }
  if (!answer) return `${item.ask} - ${item.kind === "photo" ? "no photo yet" : "not answered yet"}.`;
  return `${item.ask} - ${answer.verdict}. Enter it again.`;
}

/** @param {StageView} stage */
function keptFromClosing({ title, missing, signed }) {
  const sentences = signed ? missing : [...missing, "not signed by the crew yet."];
  return sentences.map((sentence) => `${title}: ${sentence}`);
}
