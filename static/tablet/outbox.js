/** What a person enters becomes an entry on the shelf. Nothing here touches the network. */
import { deviceTime } from "#tablet/clock.js";
import { ENTRY_VERSION } from "#tablet/entry_versions.js";
import { shrinkPhoto } from "#tablet/photo.js";
import { readAnswer } from "#tablet/reading.js";
import { inkRefusal } from "#tablet/signature_ink.js";

/** @typedef {import("#tablet/types.js").Entry} Entry */
/** @typedef {import("#tablet/types.js").Item} Item */
/** @typedef {import("#tablet/types.js").Person} Person */
/** @typedef {import("#tablet/types.js").Severity} Severity */
/** @typedef {import("#tablet/types.js").SignatureInk} SignatureInk */
/** @typedef {import("#tablet/types.js").System} System */
/** @typedef {import("#tablet/entry_shelf.js").EntryDraft} EntryDraft */

const LONGEST_DEFECT = 2000;
const LONGEST_PLACE = 200;
const LONGEST_REMARKS = 4000;

/** What was entered is no entry; the sentence says what to do. */
export class EntryError extends Error {
  /**
   * @param {string} code
   * @param {string} sentence
   */
  constructor(code, sentence) {
    super(sentence);
    this.name = "EntryError";
    this.code = code;
  }
}

/**
 * @typedef {object} OutboxOptions
 * @property {Person} person
 * @property {() => Date} [now]
 * @property {() => string} [uuid]
 * @property {typeof shrinkPhoto} [shrink]
 */

/** @typedef {{replaces?: string}} Replacing `replaces`: the refused entry this one corrects */

export class Outbox {
  #store;
  #person;
  #now;
  #uuid;
  #shrink;

  /**
   * @param {import("#tablet/store.js").Store} store
   * @param {OutboxOptions} options
   */
  constructor(store, { person, now = () => new Date(), uuid = () => crypto.randomUUID(), shrink = shrinkPhoto }) {
    if (store.personId !== person.id) throw new EntryError("another_person", "This is another person's shelf.");
    this.#store = store;
    this.#person = person;
    this.#now = now;
    this.#uuid = uuid;
    this.#shrink = shrink;
  }

  /**
   * Say that the work on site begins.
   *
   * @param {number} job
   * @param {Replacing} [correcting]
   */
  begin(job, correcting = {}) {
    return this.#save({ job, kind: "begin" }, correcting);
  }

  /**
   * @param {{job: number, stage: string, item: Item, text: string, saw: string | null, system: System} & Replacing} of
   */
  async answer({ job, stage, item, text, saw, system, replaces }) {
    const reading = readAnswer({ item, text, hasPhoto: false, system });
    const said = { job, kind: /** @type {const} */ ("answer"), stage, item: item.key, text: reading.text, saw,
      verdict: reading.verdict };
    return this.#save(said, { replaces });
  }

  /**
   * @param {{job: number, stage: string, item: Item, file: Blob, saw: string | null} & Replacing} of
   */
  async photo({ job, stage, item, file, saw, replaces }) {
    const { bytes, media_type, sha256 } = await this.#shrink(file);
    const { verdict } = readAnswer({ item, text: "", hasPhoto: true, system: "imperial" });
    const photo = { sha256, size: bytes.byteLength, media_type };
    const said = { job, kind: /** @type {const} */ ("photo"), stage, item: item.key, saw, verdict, photo };
    return this.#save(said, { replaces }, bytes);
  }

  /** @param {{job: number, stage: string, ink: SignatureInk} & Replacing} of */
  async signature({ job, stage, ink, replaces }) {
    return this.#save({ job, kind: "signature", stage, signature: this.#signed(ink) }, { replaces });
  }

  /**
   * Raise a defect by hand, on an item or ("") on the stage.
   *
   * @param {{job: number, stage: string, item: string, text: string, severity: Severity | "", place: string} & Replacing} of
   */
  async defect({ job, stage, item, text, severity, place, replaces }) {
    const described = text.trim();
    if (!described) throw new EntryError("description_missing", "Write what is wrong and where.");
    if (described.length > LONGEST_DEFECT) {
      throw new EntryError("description_too_long", `Keep the description to ${LONGEST_DEFECT} characters.`);
    }
    if (!severity) throw new EntryError("severity_missing", "Say how grave it is.");
    const where = place.trim();
    if (where.length > LONGEST_PLACE) {
      throw new EntryError("place_too_long", `Keep the place to ${LONGEST_PLACE} characters.`);
    }
    return this.#save({ job, kind: "defect", stage, item, text: described, severity, place: where }, { replaces });
  }

  /** @param {{job: number, text: string, ink: SignatureInk} & Replacing} of */
  async signOff({ job, text, ink, replaces }) {
    const remarks = text.trim();
    if (remarks.length > LONGEST_REMARKS) {
      throw new EntryError("remarks_too_long", `Keep the remarks to ${LONGEST_REMARKS} characters.`);
    }
    const signature = this.#signed(ink);
    const kept = await this.#store.bundle(job);
    const saw = kept?.bundle.answers.at(-1)?.entry ?? null;
    return this.#save({ job, kind: "sign_off", text: remarks, saw, signature }, { replaces });
  }

  /**
   * @param {SignatureInk} ink
   * @returns {SignatureInk}
   */
  #signed(ink) {
    const refusal = inkRefusal(ink, this.#person.name);
    if (refusal) throw new EntryError(refusal.code, refusal.sentence);
    const { width, height, name } = ink;
    const strokes = ink.strokes.map((stroke) => stroke.map((point) => point.map((one) => Math.round(one * 10) / 10)));
    return { strokes, width, height, name };
  }

  /**
   * @param {Partial<EntryDraft> & Pick<EntryDraft, "job" | "kind">} said
   * @param {Replacing} correcting
   * @param {ArrayBuffer | null} [bytes]
   * @returns {Promise<Entry>}
   */
  async #save(said, { replaces }, bytes = null) {
    const kept = await this.#store.bundle(said.job);
    /** @type {EntryDraft} */
    const draft = {
      version: ENTRY_VERSION,
      entry: this.#uuid(),
      stage: "",
      item: "",
      text: "",
      saw: null,
      knew: kept?.bundle.made_at ?? "",
      verdict: "",
      taken_at: deviceTime(this.#now()),
      signature: null,
      photo: null,
      ...said,
    };
    return replaces ? this.#store.replaceRefused(replaces, draft, bytes) : this.#store.saveEntry(draft, bytes);
  }
}
