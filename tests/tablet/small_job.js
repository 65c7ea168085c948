/** A job of two stages, small enough to be seen at a glance, and entries for it. */

/** @typedef {import("#tablet/types.js").Bundle} Bundle */
/** @typedef {import("#tablet/types.js").Entry} Entry */
/** @typedef {import("#tablet/types.js").Item} Item */
/** @typedef {import("#tablet/types.js").Receipt} Receipt */

export const INCH = 0.0254;

/** @param {Partial<Item> & Pick<Item, "key" | "kind">} told @returns {Item} */
export function itemOf(told) {
  return {
    ask: `Ask ${told.key}`, how: "", required: told.kind !== "note", as_found: false, quantity: "", measures: false,
    limit: null, limit_words: "", source_words: "", options: [], when: null, keys: [], hint: "",
    input_mode: "decimal", severity: "correct", ...told,
  };
}

/** At least two inches to anything that burns. */
export const CLEARANCE = itemOf({
  key: "clearance", kind: "measure", quantity: "length", measures: true,
  limit: { minimum: 2 * INCH, maximum: null, unit: "m" },
  limit_words: "at least 2 in", source_words: "listing, Sheet TH-3 (read)",
});

/** @param {Partial<Bundle>} [told] @returns {Bundle} */
export function bundleOf(told = {}) {
  return {
    schema: 1,
    made_at: "2026-05-04T15:00:00Z",
    job: { id: 7, number: "J-0007", kind: "annual sweep", status: "on site", status_words: "On site" },
    site: {
      customer: "Ada Example", phone: "", address: [], system: "imperial", time_zone: "America/New_York",
      access_notes: "", hazard_notes: "",
    },
    visits: [],
    may: { begin: false, work: true, report: true, sign_off: false },
    refusal: "",
    cautions: [],
    may_carry: false,
    do_not_use: [],
    checklist: { title: "Annual sweep", version: 1 },
    record: { begun_at: "2026-05-04T14:00:00Z", begun_by: "Ivo Installer" },
    stages: [
      {
        key: "attic", title: "Attic", hold: true, cautions: ["Walk on boards."], plan_says: [], signed: null, returns: [],
        items: [
          CLEARANCE,
          itemOf({
            key: "shield", kind: "choose",
            options: [
              { key: "fits", words: "It fits", fails: false, severity: "" },
              { key: "short", words: "It does not fit", fails: true, severity: "danger" },
            ],
          }),
          itemOf({ key: "enclosure", kind: "confirm", when: { item: "shield", outcome: "fail", chosen: [] } }),
        ],
      },
      {
        key: "roof", title: "Roof", hold: false, cautions: [], plan_says: [], signed: null, returns: [],
        items: [itemOf({ key: "flashing", kind: "photo" }), itemOf({ key: "remarks", kind: "note" })],
      },
    ],
    answers: [],
    defects: [],
    late: [],
    signed_off: null,
    plan: null,
    ...told,
  };
}

let made = 0;

/** @param {Partial<Entry> & Pick<Entry, "kind">} told @returns {Entry} */
export function entryOf(told) {
  made += 1;
  return {
    version: 2, entry: `00000000-0000-4000-8000-${String(made).padStart(12, "0")}`, seq: made, job: 7, stage: "attic",
    item: "", text: "", saw: null, knew: "", verdict: "", taken_at: "2026-05-04T11:00:00-04:00", signature: null, photo: null,
    state: "waiting", refusal: null, attempts: 0, ...told,
  };
}

/** @param {string} item @param {string} text @param {Partial<Entry>} [told] */
export function answerOf(item, text, told = {}) {
  return entryOf({ kind: "answer", item, text, ...told });
}

/** @param {Entry} sent @param {Partial<Receipt>} [told] @returns {Receipt} */
export function receiptOf(sent, told = {}) {
  return {
    entry: sent.entry, job: sent.job, sent, outcome: "accepted", code: "", sentence: "", verdict: "", differs: false,
    said: "", margin: "", received_at: "2026-05-04T15:30:00Z", ...told,
  };
}
