/** Somebody at work with a tablet: begins, answers, takes photos, raises defects, signs what is complete. */
import { recordView } from "#tablet/record.js";
import { KILLED } from "./mortal_tablet.js";
import { picture } from "./picture.js";

/** @typedef {import("./chance.js").Chance} Chance */
/** @typedef {import("./mortal_tablet.js").MortalTablet} MortalTablet */
/** @typedef {import("#tablet/types.js").Bundle} Bundle */
/** @typedef {import("#tablet/types.js").Entry} Entry */
/** @typedef {import("#tablet/types.js").Item} Item */
/** @typedef {import("#tablet/record_shapes.js").RecordView} RecordView */
/** @typedef {import("#tablet/record_shapes.js").StageView} StageView */

const INK = { strokes: [[[20, 60], [60, 20], [90, 80], [140, 30], [200, 70]]], width: 400, height: 120, name: "" };

export class Installer {
  #tablet;
  #job;
  #chance;
  /** @type {(Entry & {device: string})[]} Everything of which the tablet said that it was saved */
  saved = [];

  /**
   * @param {MortalTablet} tablet
   * @param {number} job
   * @param {Chance} chance
   */
  constructor(tablet, job, chance) {
    this.#tablet = tablet;
    this.#job = job;
    this.#chance = chance;
  }

  /** @param {number} steps */
  async work(steps) {
    for (let step = 0; step < steps; step += 1) {
      const record = await this.#look();
      if (record) await this.#save(() => this.#next(record));
      if (this.#chance.happens(0.1)) this.#tablet.sync.poke();
      for (let turn = this.#chance.between(0, 20); turn > 0; turn -= 1) await new Promise(setImmediate);
    }
  }

  /** @returns {Promise<RecordView | null>} null where the bundle is not here yet, or the tablet died over it */
  async #look() {
    const { store, person } = this.#tablet;
    const seen = await this.#tablet.during(async () => {
      const kept = await store.bundle(this.#job);
      if (!kept) return null;
      const [entries, receipts] = await Promise.all([store.entries(this.#job), store.receipts(this.#job)]);
      return recordView({ bundle: kept.bundle, entries, receipts, by: person.name });
    });
    return seen === KILLED ? null : seen;
  }

  /** @param {() => Promise<Entry | null>} enter */
  async #save(enter) {
    const entry = await this.#tablet.during(enter);
    if (entry !== KILLED && entry) this.saved.push({ ...entry, device: this.#tablet.device });
  }

  /**
   * @param {RecordView} record
   * @returns {Promise<Entry | null>}
   */
  async #next(record) {
    const { outbox } = this.#tablet;
    const at = { job: this.#job };
    if (!record.begun) return outbox.begin(this.#job);
    const open = record.stages.filter((stage) => !stage.signed);
    const complete = open.find(({ canSign }) => canSign);
    if (complete && this.#chance.happens(0.8)) return outbox.signature({ ...at, stage: complete.key, ink: INK });
    if (!open.length) return null;
    const stage = this.#chance.happens(0.85) ? open[0] : this.#chance.pick(open);
    if (this.#chance.happens(0.05)) {
      const text = `Dent ${this.#chance.between(1, 1e6)} in the pipe.`;
      return outbox.defect({ ...at, stage: stage.key, item: "", text, severity: "correct", place: "" });
    }
    return this.#enter(stage);
  }

  /** @param {StageView} stage */
  #enter(stage) {
    const { outbox } = this.#tablet;
    const unsettled = stage.items.filter(({ settled }) => !settled);
    const choice = unsettled.length && this.#chance.happens(0.85) ? unsettled : stage.items;
    if (!choice.length) return Promise.resolve(null);
    const { item, stands } = this.#chance.pick(choice);
    const at = { job: this.#job, stage: stage.key, item, saw: stands };
    if (item.kind === "photo" && this.#chance.happens(0.95)) {
      return outbox.photo({ ...at, file: new Blob([picture(this.#chance)], { type: "image/png" }) });
    }
    return outbox.answer({ ...at, text: this.#text(item), system: "imperial" });
  }

  /** @param {Item} item */
  #text(item) {
    if (item.kind === "note") return `Note ${this.#chance.between(1, 1e6)}`;
    if (item.kind === "photo" || this.#chance.happens(0.06)) return "cannot tell";
    if (item.kind === "confirm") return this.#chance.happens(0.06) ? "no" : "yes";
    if (item.kind === "choose") return this.#chosen(item);
    return this.#chance.happens(0.06) || !item.limit ? MEASURED[item.quantity] : within(item);
  }

  /** @param {Item} item */
  #chosen({ options }) {
    const passing = options.filter(({ fails }) => !fails);
    return this.#chance.pick(this.#chance.happens(0.06) || !passing.length ? options : passing).key;
  }
}

/** @type {Record<string, string>} */
const MEASURED = { length: "22 1/2 in", draft: "14 Pa", percent: "15 %", count: "3", slope: "1/2 in per ft",
  "thermal resistance": "0.2 m2K/W" };
/** @type {Record<string, [number, string]>} From the unit of a limit to one that can be typed */
const TYPED = { length: [1000, " mm"], draft: [1, " Pa"], percent: [100, " %"], slope: [1000, " mm/m"],
  "thermal resistance": [1, " m2K/W"] };

/** @param {Item} item */
function within({ limit, quantity }) {
  const { minimum = null, maximum = null } = limit ?? {};
  const value = minimum !== null && maximum !== null ? (minimum + maximum) / 2 : (minimum ?? 0) || (maximum ?? 0) / 2;
  if (quantity === "count") return String(Math.ceil(value));
  const [factor, unit] = TYPED[quantity];
  return `${Number((value * factor * (maximum === null ? 1.01 : 1)).toFixed(4))}${unit}`;
}
