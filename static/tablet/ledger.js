/**
 * What was found on one job: the bundle's rows, and over them what was entered here, in the server's order.
 *
 * What the server does with an answer, inspections/services/answers.py, is done here to show it at once.
 *
 * @module
 */

import { enteredAnswer, lateAnswer, serversAnswer } from "#tablet/answer_views.js";
import { itemsApplicable } from "#tablet/applicable.js";
import { baseKey, correctionItems, defectKey, foundItem } from "#tablet/corrections.js";
import { stripped } from "#tablet/plain_text.js";
import { readAnswer } from "#tablet/reading.js";
import { defectSentence } from "#tablet/words.js";

/** @import {Bundle, Entry, Item, Receipt} from "#tablet/types.js" */
/** @import {AnswerView, DefectView, Signing} from "#tablet/record_shapes.js" */

/**
 * @typedef {Pick<DefectView, "stage" | "item" | "description" | "raised_alone" | "severity" | "place" | "by" | "at" | "where">
 * } LaidDefect
 */

/** What a bundle lacks that was fetched before the app was brought up to date. */
const AN_OLDER_SERVERS = {
  severity: /** @type {const} */ ("correct"),
  place: "",
  rule: "",
  came_for: false,
  items: [],
  photos: [],
};
const ON_SITE = "on site";
const SIGNED = "Its stage is signed. When it is sent it is kept for the inspector and does not count.";
const NOT_ASKED = "It is no longer asked. When it is sent it is kept for the inspector and does not count.";
const NOT_ON_SITE = "The work on site is over. When it is sent it is kept for the inspector and does not count.";

export class Ledger {
  /** @type {Bundle} */
  #bundle;
  /** @type {string} */
  #by;
  /** @type {Map<string, AnswerView[]>} By item, oldest first */
  #answers = new Map();
  /** @type {Map<string, AnswerView[]>} What does not count: refused, late, not understood; oldest first */
  #aside = new Map();
  /** @type {DefectView[]} Oldest first */
  #defects;
  /** @type {Map<string, Signing>} By stage */
  #signed = new Map();
  /** Whether the work has begun. */
  begun;
  /** Whether it has begun here alone, so far as is known. */
  begunHere = false;
  /** @type {Signing | null} */
  signedOff;

  /** @param {Bundle} bundle @param {string} by Whose entries are laid on it */
  constructor(bundle, by) {
    this.#bundle = bundle;
    this.#by = by;
    this.begun = bundle.record !== null;
    this.signedOff = bundle.signed_off && { ...bundle.signed_off, where: "server" };
    this.#defects = bundle.defects.map((defect) => ({ ...AN_OLDER_SERVERS, ...defect, where: "server" }));
    for (const stage of bundle.stages) {
      if (stage.signed) this.#signed.set(stage.key, { ...stage.signed, where: "server" });
    }
    for (const answer of bundle.answers) push(this.#answers, serversAnswer(answer));
    for (const late of bundle.late) push(this.#aside, lateAnswer(late));
  }

  /**
   * Lay entries of this tablet over what is there: first those the server took since, then those it has not.
   *
   * @param {Receipt[]} receipts
   * @param {Entry[]} entries
   */
  lay(receipts, entries) {
    const there = [...this.#answers.values(), ...this.#aside.values()].flat();
    const known = new Map(there.map((answer) => [answer.entry, answer]));
    for (const { entry, differs, sentence } of receipts) {
      const answer = known.get(entry);
      if (answer?.where === "server") Object.assign(answer, { differs, sentence });
    }
    const received = new Set(receipts.map((one) => one.entry));
    const taken = receipts.filter((one) => !known.has(one.entry) && !this.#isHeld(one)).sort(byReceipt);
    for (const receipt of taken) this.#layEntry(receipt.sent, receipt);
    const waiting = entries.filter((one) => !known.has(one.entry) && !received.has(one.entry));
    for (const entry of waiting.sort((one, other) => one.seq - other.seq)) this.#layEntry(entry, null);
  }

  /** The answer that counts. @param {string} item */
  latest(item) {
    return this.#answers.get(item)?.at(-1) ?? null;
  }

  /** What does not count, newest first. @param {string} item */
  history(item) {
    const earlier = this.#answers.get(item)?.slice(0, -1) ?? [];
    return [...earlier, ...(this.#aside.get(item) ?? [])].reverse();
  }

  /** Every defect, those of one item together. */
  defects() {
    const items = new Set(this.#defects.map((defect) => defect.item));
    return [...items].flatMap((item) => this.defectsOf(item));
  }

  /** @param {string} item */
  defectsOf(item) {
    return this.#defects.filter((defect) => defect.item === item);
  }

  /** @param {string} stage */
  signing(stage) {
    return this.#signed.get(stage) ?? null;
  }

  /** The keys of the items that apply. */
  applicable() {
    const latest = new Map([...this.#answers].map(([key, answers]) => [key, answers[answers.length - 1]]));
    return itemsApplicable(this.#bundle.stages, latest);
  }

  /**
   * Whether the bundle was made after the server had taken an entry that a bundle does not list by itself.
   *
   * @param {Receipt} receipt
   */
  #isHeld({ sent, received_at: at }) {
    return !isAnswer(sent) && Date.parse(this.#bundle.made_at) >= Date.parse(at);
  }

  /** @param {Entry} entry @param {Receipt | null} receipt */
  #layEntry(entry, receipt) {
    if (isAnswer(entry)) {
      this.#layAnswer(entry, receipt);
    } else if (entry.state !== "refused" && receipt?.outcome !== "late") {
      const at = receipt?.received_at ?? entry.taken_at;
      this.#layOther(entry, { by: this.#by, at, where: receipt ? "sent" : "here" });
    }
  }

  /** @param {Entry} entry @param {Signing} told */
  #layOther(entry, told) {
    if (entry.kind === "begin" && !this.begun) {
      this.begun = this.begunHere = true;
    } else if (entry.kind === "signature" && !this.#signed.has(entry.stage)) {
      this.#signed.set(entry.stage, told);
    } else if (entry.kind === "sign_off") {
      this.signedOff ??= told;
    } else if (entry.kind === "defect") {
      this.#layReported(entry, told);
    }
  }

  /** @param {Entry} entry @param {Signing} told */
  #layReported({ entry, stage, item: about, text, severity, place }, told) {
    const item = about || defectKey(entry);
    const isThere = this.defectsOf(item).some((one) => one.stage === stage && (one.open || !about));
    if (isThere) return;
    const laid = { stage, item, description: stripped(text), raised_alone: !about };
    this.#layDefect({ ...told, ...laid, severity: severity || "correct", place: place || this.#title(stage) });
  }

  /** @param {LaidDefect} told */
  #layDefect(told) {
    const untold = { rule: "", came_for: false, items: [], photos: [] };
    this.#defects.push({ id: null, open: true, waiver: null, ...untold, ...told });
  }

  /** @param {string} stage */
  #title(stage) {
    return this.#bundle.stages.find((one) => one.key === stage)?.title ?? stage;
  }

  /** @param {Entry} entry @param {Receipt | null} receipt */
  #layAnswer(entry, receipt) {
    const item = this.#item(entry);
    if (!item) return;
    const answer = enteredAnswer(item, entry, receipt, { by: this.#by, system: this.#bundle.site.system });
    const before = this.applicable();
    const tooLate = answer.where === "here" ? this.#tooLate(entry, item, before) : "";
    answer.sentence ||= tooLate;
    if (tooLate || answer.where === "refused" || answer.where === "late" || !answer.verdict) {
      push(this.#aside, answer);
      return;
    }
    const unseen = isUnseen(entry, this.latest(item.key)) || this.#isReportedUnseen(entry);
    push(this.#answers, answer);
    this.#settle(item, answer, unseen);
    // A choice that takes items away takes their defects away.
    const now = this.applicable();
    this.#close((defect) => before.has(defect.item) && !now.has(defect.item));
  }

  /**
   * Why the server will not let an entry count that has yet to reach it; "" where it will.
   *
   * @param {Entry} entry
   * @param {Item} item
   * @param {Set<string>} applicable
   */
  #tooLate(entry, item, applicable) {
    const { record, job, stages } = this.#bundle;
    if (record && job.status !== ON_SITE) return NOT_ON_SITE;
    if (this.#signed.has(entry.stage)) return SIGNED;
    const isOfChecklist = stages.some((stage) => stage.items.includes(item));
    return isOfChecklist && !applicable.has(item.key) ? NOT_ASKED : "";
  }

  /**
   * A failure opens a defect, a passing answer closes it.
   *
   * @param {Item} item
   * @param {AnswerView} answer
   * @param {boolean} unseen Whether the person had not seen what it would put right
   */
  #settle(item, answer, unseen) {
    const { stage, verdict, text, hasPhoto, by, at, where } = answer;
    const cameFor = this.defectsOf(baseKey(item.key)).filter((one) => one.stage === stage).at(-1);
    if (cameFor?.came_for) {
      this.#settleCameFor(cameFor, item, answer, unseen);
      return;
    }
    /** @param {DefectView} defect */
    const isOfItem = (defect) => defect.stage === stage && defect.item === item.key;
    if (verdict === "pass" || verdict === "recorded") {
      if (!unseen) this.#close(isOfItem);
      return;
    }
    const isDefect = verdict === "fail" ? !item.as_found : item.required;
    if (!isDefect || this.#defects.some((defect) => defect.open && isOfItem(defect))) return;
    const { system } = this.#bundle.site;
    const description = defectSentence(item, { ...readAnswer({ item, text, hasPhoto, system }), hasPhoto }, system);
    const severity = verdict === "fail" ? severityOf(item, text) : "correct";
    const place = this.#title(stage).slice(0, 200);
    this.#layDefect({ stage, item: item.key, description, raised_alone: false, severity, place, by, at, where });
  }

  /**
   * One the job came for closes when all its evidence is there; what fails after that opens it again.
   *
   * @param {DefectView} cameFor
   * @param {Item} item
   * @param {AnswerView} answer
   * @param {boolean} unseen
   */
  #settleCameFor(cameFor, item, { verdict, by, at, where }, unseen) {
    const settles = verdict === "pass" || verdict === "recorded";
    if (cameFor.open) {
      const asked = correctionItems(cameFor).filter((one) => one.required);
      const isThere = asked.every((one) => ["pass", "recorded"].includes(this.latest(one.key)?.verdict ?? ""));
      if (!unseen && isThere) this.#close((one) => one === cameFor);
    } else if (!settles && (verdict === "fail" || item.required)) {
      this.#defects.push({ ...cameFor, id: null, open: true, waiver: null, by, at, where });
    }
  }

  /**
   * Whether somebody else reported a defect here after this tablet had last heard of the job. Who answers the item by
   * which one is put right has seen it.
   *
   * @param {Entry} entry
   */
  #isReportedUnseen({ stage, item, knew }) {
    const open = this.#defects.find((defect) => defect.open && defect.stage === stage && defect.item === item);
    return Boolean(open && knew && !open.raised_alone && open.by !== this.#by && Date.parse(open.at) > Date.parse(knew));
  }

  /** @param {(defect: DefectView) => boolean} which */
  #close(which) {
    for (const defect of this.#defects) {
      if (defect.open && which(defect)) defect.open = false;
    }
  }

  /** @param {Entry} entry @returns {Item | null} */
  #item({ stage, item: key }) {
    const told = this.#bundle.stages.find((one) => one.key === stage)?.items ?? [];
    const alone = this.#defects.filter((defect) => defect.raised_alone && defect.stage === stage);
    const onItems = this.#defects.filter((defect) => !defect.raised_alone && defect.stage === stage);
    const found = onItems.filter(({ item }) => told.some((one) => one.key === item)).map(({ item }) => foundItem(item));
    return [...told, ...alone.flatMap(correctionItems), ...found].find((one) => one.key === key) ?? null;
  }
}

/** @param {Item} item @param {string} chosen */
function severityOf(item, chosen) {
  const option = item.options.find((one) => one.key === chosen);
  return option?.severity || item.severity || "correct";
}

/** @param {Entry} entry */
function isAnswer({ kind }) {
  return kind === "answer" || kind === "photo";
}

/** @param {Map<string, AnswerView[]>} map @param {AnswerView} answer */
function push(map, answer) {
  const there = map.get(answer.item);
  if (there) there.push(answer);
  else map.set(answer.item, [answer]);
}

/**
 * Whether an entry was made without having seen the answer before it. An older app did not tell; what came from
 * this tablet its person knows.
 *
 * @param {Entry} entry
 * @param {AnswerView | null} standing
 */
function isUnseen(entry, standing) {
  if (standing === null) return false;
  return entry.version === 1 ? standing.where === "server" : entry.saw !== standing.entry;
}

/** @param {Receipt} one @param {Receipt} other */
function byReceipt(one, other) {
  return Date.parse(one.received_at) - Date.parse(other.received_at) || one.sent.seq - other.sent.seq;
}
