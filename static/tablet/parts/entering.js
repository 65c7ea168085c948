/** What a button does: it makes an entry, waits until the tablet's disk has it, and only then says "saved". */
import { say } from "#tablet/parts/spoken.js";
import { whereWords } from "#tablet/parts/signs.js";

/** @typedef {import("#tablet/app.js").App} App */
/** @typedef {import("#tablet/shift.js").Shift} Shift */
/** @typedef {import("#tablet/types.js").SignatureInk} SignatureInk */
/** @typedef {import("#tablet/record_shapes.js").ItemView} ItemView */
/** @typedef {{job: number, stage: string, system: import("#tablet/types.js").System}} At A stage of a job */

/**
 * The key what is typed for an item is kept under until it is saved.
 * @param {Pick<At, "job" | "stage">} at
 * @param {string} item
 */
export function draftKey(at, item) {
  return `${at.job}/${at.stage}/${item}`;
}

/**
 * @param {App} app
 * @param {number} job
 */
export function beginWork(app, job) {
  return during(app, `begin ${job}`, async (shift) => {
    await shift.outbox.begin(job, replacing(shift, { job, kind: "begin" }));
    say(`Site work begun. ${whereWords("here")}.`);
  });
}

/**
 * @param {App} app
 * @param {At} at
 * @param {ItemView} view
 * @param {string} text
 */
export async function enterAnswer(app, at, view, text) {
  const done = await during(app, draftKey(at, view.key), async (shift) => {
    const { item, stands } = view;
    const of = replacing(shift, { job: at.job, kind: "answer", stage: at.stage, item: view.key });
    await shift.outbox.answer({ ...at, item, text, saw: stands, ...of });
    app.pad = "";
    await shift.caughtUp();
    tellVerdict(app, at, view);
  });
  // Its keys are put away now: the verdict stays in sight.
  if (done) app.settle(`item-${view.key}`);
  return done;
}

/**
 * @param {App} app
 * @param {At} at
 * @param {ItemView} view
 * @param {File} file
 */
export async function enterPhoto(app, at, view, file) {
  const key = draftKey(at, view.key);
  app.drafts.setFile(key, file);
  await during(app, key, async (shift) => {
    const { item, stands } = view;
    const of = replacing(shift, { job: at.job, kind: "photo", stage: at.stage, item: view.key });
    await shift.outbox.photo({ job: at.job, stage: at.stage, item, file, saw: stands, ...of });
    await shift.caughtUp();
    say(`Photo: ${item.ask}. ${whereWords("here")}.`);
  });
}

/**
 * @param {App} app
 * @param {At} at
 * @param {SignatureInk} ink
 */
export function signStage(app, at, ink) {
  return during(app, draftKey(at, "signature"), async (shift) => {
    const of = replacing(shift, { job: at.job, kind: "signature", stage: at.stage });
    await shift.outbox.signature({ job: at.job, stage: at.stage, ink, ...of });
    await shift.caughtUp();
    say(`Stage signed. ${whereWords("here")}.`);
  });
}

/**
 * @param {App} app
 * @param {At} at
 * @param {{item: string, text: string, severity: import("#tablet/types.js").Severity | "", place: string}} said item: "" for the stage as a whole
 */
export function reportDefect(app, at, { item, text, severity, place }) {
  return during(app, draftKey(at, "defect"), async (shift) => {
    const of = replacing(shift, { job: at.job, kind: "defect", stage: at.stage, item });
    await shift.outbox.defect({ job: at.job, stage: at.stage, item, text, severity, place, ...of });
    await shift.caughtUp();
    say(`Defect reported. ${whereWords("here")}.`);
  });
}

/**
 * @param {App} app
 * @param {number} job
 * @param {string} text
 * @param {SignatureInk} ink
 */
export function signOff(app, job, text, ink) {
  return during(app, `sign-off ${job}`, async (shift) => {
    await shift.outbox.signOff({ job, text, ink, ...replacing(shift, { job, kind: "sign_off" }) });
    await shift.caughtUp();
    say(`Signed off. ${whereWords("here")}.`);
  });
}

/**
 * @param {App} app
 * @param {string} key
 * @param {(shift: Shift) => Promise<void>} work
 */
async function during(app, key, work) {
  const { shift } = app;
  if (!shift) return false;
  const doing = app.drafts.during(key, () => work(shift));
  app.update();
  const done = await doing;
  if (!done && app.drafts.refusal(key)) say(app.drafts.refusal(key));
  app.update();
  return done;
}

/**
 * The refused entry that a new one takes the place of.
 * @param {Shift} shift
 * @param {{job: number, kind: string, stage?: string, item?: string}} same
 * @returns {{replaces?: string}}
 */
function replacing(shift, { job, kind, stage = "", item = "" }) {
  const refused = shift.entries.filter(
    (one) => one.state === "refused" && one.job === job && one.kind === kind && one.stage === stage && one.item === item,
  );
  const last = refused.at(-1);
  return last ? { replaces: last.entry } : {};
}

/**
 * @param {App} app
 * @param {At} at
 * @param {ItemView} before
 */
function tellVerdict(app, at, before) {
  const stage = app.shift?.record(at.job)?.stages.find((one) => one.key === at.stage);
  const view = stage?.items.find((one) => one.key === before.key);
  const answer = view?.answer;
  if (!answer) return;
  const told = [answer.verdict === "recorded" ? "" : answer.verdict, answer.margin].filter(Boolean).join(", ");
  say(`${before.item.ask}: ${answer.said}${told ? `, ${told}` : ""}. ${whereWords("here")}.`);
}
