import assert from "node:assert/strict";
import { test } from "node:test";

import { recordView } from "#tablet/record.js";
import { answerOf, bundleOf, entryOf, receiptOf } from "./small_job.js";

/** @typedef {import("#tablet/types.js").Bundle} Bundle */
/** @typedef {import("#tablet/types.js").Entry} Entry */
/** @typedef {import("#tablet/types.js").Receipt} Receipt */

/** @param {Entry[]} entries @param {Partial<Bundle>} [told] @param {Receipt[]} [receipts] */
function viewOf(entries, told = {}, receipts = []) {
  return recordView({ bundle: bundleOf(told), entries, receipts, by: "Ivo Installer" });
}

/** @param {ReturnType<typeof viewOf>} view @param {string} key */
function itemIn(view, key) {
  const found = view.stages.flatMap((stage) => stage.items).find((item) => item.key === key);
  assert.ok(found, `no item ${key}`);
  return found;
}

/** @param {string} item @param {Partial<import("#tablet/types.js").Answer>} told */
function serversAnswer(item, told) {
  const answer = {
    entry: "10000000-0000-4000-8000-000000000001", stage: "attic", item, kind: "measure", text: "1 in",
    value: 0.0254, verdict: /** @type {const} */ ("fail"), said: "1 in", margin: "1 in too little",
    by: "Tara Technician", received_at: "2026-05-04T14:30:00Z", photo: null,
  };
  return { ...answer, ...told };
}

/** @param {Partial<import("#tablet/types.js").Defect>} told */
function serversDefect(told) {
  const defect = {
    id: 3, stage: "attic", item: "clearance", description: "Too close.", open: true, raised_alone: false,
    by: "Tara Technician", at: "2026-05-04T14:30:00Z", waiver: null, severity: /** @type {const} */ ("correct"),
    place: "Attic", rule: "", came_for: false, items: [], photos: [],
  };
  return { ...defect, ...told };
}

test("an answer that meets its limit settles its item with the margin in words", () => {
  const item = itemIn(viewOf([answerOf("clearance", "2 1/2")]), "clearance");
  assert.equal(item.answer?.verdict, "pass");
  assert.equal(item.answer?.said, "2 1/2 in");
  assert.equal(item.answer?.margin, "1/2 in to spare");
  assert.equal(item.answer?.where, "here");
  assert.equal(item.answer?.by, "Ivo Installer");
  assert.equal(item.settled, true);
});

test("one that misses it opens a defect that says what is required and where it stands", () => {
  const view = viewOf([answerOf("clearance", "1 1/2")]);
  const { defect, settled } = itemIn(view, "clearance");
  assert.equal(settled, false);
  assert.equal(
    defect?.description,
    "Ask clearance: measured 1 1/2 in, at least 2 in is required; 1/2 in too little. " +
      "Source: listing, Sheet TH-3 (read).",
  );
  assert.equal(view.stages[0].state, "defect open");
});

test("a passing answer closes the defect and the one before it goes to the history", () => {
  const wrong = answerOf("clearance", "1 1/2");
  const right = answerOf("clearance", "2", { saw: wrong.entry });
  const item = itemIn(viewOf([wrong, right]), "clearance");
  assert.equal(item.defect, null);
  assert.equal(item.stands, right.entry);
  assert.deepEqual(item.history.map((one) => one.entry), [wrong.entry]);
});

test("a passing answer that did not see another's failure leaves the defect open", () => {
  const there = { answers: [serversAnswer("clearance", {})], defects: [serversDefect({})] };
  const unseen = answerOf("clearance", "2");
  assert.equal(itemIn(viewOf([unseen], there), "clearance").defect?.description, "Too close.");
  const seen = answerOf("clearance", "2", { saw: there.answers[0].entry });
  assert.equal(itemIn(viewOf([seen], there), "clearance").defect, null);
});

test("a passing answer entered before a defect was reported by somebody else leaves it open", () => {
  const there = { defects: [serversDefect({ at: "2026-05-04T14:00:00Z", by: "Petra Inspector" })] };
  const unseen = answerOf("clearance", "2", { knew: "2026-05-04T13:00:00Z" });
  assert.equal(itemIn(viewOf([unseen], there), "clearance").defect?.description, "Too close.");
  const seen = answerOf("clearance", "2", { knew: "2026-05-04T15:00:00Z" });
  assert.equal(itemIn(viewOf([seen], there), "clearance").defect, null);
});

test("an item appears with the answer that asks for it and takes its defect away with it", () => {
  const short = answerOf("shield", "short");
  const no = answerOf("enclosure", "no");
  const asked = viewOf([short, no]);
  assert.equal(itemIn(asked, "enclosure").defect?.open, true);
  const fits = answerOf("shield", "fits", { saw: short.entry });
  const gone = viewOf([short, no, fits]);
  assert.deepEqual(gone.stages[0].items.map((item) => item.key), ["clearance", "shield"]);
  assert.deepEqual(gone.openDefects, []);
});

test("after a hold point nothing can be signed until it is", () => {
  const photo = entryOf({
    kind: "photo", stage: "roof", item: "flashing", photo: { sha256: "", size: 1, media_type: "image/jpeg" },
  });
  const locked = viewOf([photo]).stages[1];
  assert.equal(locked.lockedBy, "Attic");
  assert.equal(locked.canSign, false);
  const attic = [answerOf("clearance", "2"), answerOf("shield", "fits")];
  assert.equal(viewOf(attic).stages[0].state, "ready to sign");
  const view = viewOf([photo, ...attic, entryOf({ kind: "signature" })]);
  assert.equal(view.stages[0].signed?.where, "here");
  assert.equal(view.stages[1].canSign, true);
  assert.deepEqual(view.missing, ["Roof: not signed by the crew yet."]);
});

test("what is missing is said in sentences", () => {
  const view = viewOf([answerOf("shield", "cannot tell")]);
  assert.deepEqual(view.stages[0].missing, [
    "Ask clearance - not answered yet.",
    "Ask shield - a defect is open. Put it right and enter it again, or ask the inspector to accept it.",
  ]);
  assert.deepEqual(view.stages[1].missing, ["Ask flashing - no photo yet."]);
});

test("a refused entry is in the history with the server's sentence and does not count", () => {
  const refusal = { code: "not_your_job", sentence: "J-0007 is not a job of your crew." };
  const refused = answerOf("clearance", "2", { state: "refused", refusal });
  const item = itemIn(viewOf([refused]), "clearance");
  assert.equal(item.answer, null);
  assert.equal(item.stands, null);
  assert.deepEqual([item.history[0].where, item.history[0].sentence], ["refused", refusal.sentence]);
});

test("a refused signature signs nothing", () => {
  const refused = entryOf({ kind: "signature", state: "refused", refusal: { code: "hold_point", sentence: "First." } });
  assert.equal(viewOf([refused]).stages[0].signed, null);
});

test("an entry for a stage that was signed meanwhile says that it will not count", () => {
  const there = bundleOf().stages;
  there[0].signed = { by: "Tara Technician", at: "2026-05-04T14:50:00Z" };
  const item = itemIn(viewOf([answerOf("clearance", "2")], { stages: there }), "clearance");
  assert.equal(item.answer, null);
  assert.match(item.history[0].sentence, /kept for the inspector/);
});

test("the server's verdict wins and the difference is told", () => {
  const sent = answerOf("clearance", "2", { verdict: "pass" });
  const receipt = receiptOf(sent, { verdict: "fail", said: "2 in", margin: "1/4 in too little", differs: true });
  const { answer, settled } = itemIn(viewOf([], {}, [receipt]), "clearance");
  assert.deepEqual([answer?.verdict, answer?.where, answer?.differs], ["fail", "sent", true]);
  assert.equal(settled, false);
});

test("an entry that the bundle holds is shown once, as the server's", () => {
  const sent = answerOf("clearance", "2");
  const held = serversAnswer("clearance", { entry: sent.entry, verdict: "pass", text: "2", value: 0.0508 });
  for (const receipts of [[], [receiptOf(sent, { verdict: "pass" })]]) {
    const item = itemIn(viewOf([sent], { answers: [held] }, receipts), "clearance");
    assert.equal(item.answer?.where, "server");
    assert.deepEqual(item.history, []);
  }
});

test("a late entry is in the history, before and after the bundle tells of it", () => {
  const sent = answerOf("clearance", "2");
  const receipt = receiptOf(sent, { outcome: "late", sentence: "“Attic” had been signed before this arrived." });
  const late = {
    entry: sent.entry, stage: "attic", item: "clearance", words: "2 in", why: receipt.sentence, by: "Ivo Installer",
    received_at: receipt.received_at, looked_at: false,
  };
  for (const view of [viewOf([], {}, [receipt]), viewOf([], { late: [late] }, [receipt])]) {
    const item = itemIn(view, "clearance");
    assert.equal(item.answer, null);
    assert.deepEqual(item.history.map((one) => [one.where, one.sentence]), [["late", receipt.sentence]]);
  }
});

test("a defect reported here asks to be put right by an item of its own, once and the same on the server", () => {
  const report = entryOf({ kind: "defect", text: "Dent in the cap" });
  const key = `defect-${report.entry.replaceAll("-", "").slice(0, 12)}`;
  const view = viewOf([report]);
  assert.equal(itemIn(view, key).item.ask, "Put right: Dent in the cap");
  assert.equal(itemIn(view, `${key}-photo`).required, false);
  const yes = answerOf(key, "yes");
  const done = viewOf([report, yes]);
  assert.deepEqual(done.openDefects, []);
  const again = viewOf([report, yes, answerOf(key, "no", { saw: yes.entry })]);
  assert.equal(again.stages[0].items.filter((item) => item.key === key).length, 1);
  const held = serversDefect({ item: key, description: "Dent in the cap", raised_alone: true });
  assert.equal(viewOf([], { defects: [held] }, [receiptOf(report)]).stages[0].openDefects.length, 1);
});

test("a waiver covers what was found when it was given and nothing entered after it", () => {
  const waiver = {
    by: "Petra Inspector", at: "2026-05-04T14:30:00.000250Z", authority: "Building official", reason: "Spacer.",
  };
  const defects = [serversDefect({ open: false, waiver })];
  const found = serversAnswer("clearance", { received_at: "2026-05-04T14:30:00.000249Z" });
  assert.equal(itemIn(viewOf([], { answers: [found], defects }), "clearance").settled, true);
  const after = serversAnswer("clearance", { received_at: "2026-05-04T14:30:00.000251Z" });
  assert.equal(itemIn(viewOf([], { answers: [after], defects }), "clearance").waiver, null);
  const here = answerOf("clearance", "1", { saw: found.entry });
  assert.equal(itemIn(viewOf([here], { answers: [found], defects }), "clearance").settled, false);
});

test("work that began here is begun, and told to be begun here", () => {
  const begun = viewOf([entryOf({ kind: "begin", stage: "" })], { record: null });
  assert.deepEqual([begun.begun, begun.locally_begun], [true, true]);
  assert.deepEqual([viewOf([]).begun, viewOf([]).locally_begun], [true, false]);
});

test("what is given stays as it was", () => {
  const bundle = bundleOf({ defects: [serversDefect({})], answers: [serversAnswer("clearance", {})] });
  const before = structuredClone(bundle);
  const entries = [answerOf("clearance", "2", { seq: 9, saw: bundle.answers[0].entry }), answerOf("shield", "fits")];
  const order = entries.map((one) => one.entry);
  recordView({ bundle, entries, receipts: [] });
  assert.deepEqual(bundle, before);
  assert.deepEqual(entries.map((one) => one.entry), order);
});

test("a failing answer is as grave as the checklist says, one reported by hand as its person says", () => {
  const grave = itemIn(viewOf([answerOf("shield", "short")]), "shield").defect;
  assert.deepEqual([grave?.severity, grave?.place], ["danger", "Attic"]);
  assert.equal(itemIn(viewOf([answerOf("clearance", "1")]), "clearance").defect?.severity, "correct");
  const said = entryOf({ kind: "defect", stage: "attic", text: "A gap", severity: "advice", place: "At the hatch" });
  const [told] = viewOf([said]).openDefects;
  assert.deepEqual([told.severity, told.place], ["advice", "At the hatch"]);
  const older = entryOf({ kind: "defect", stage: "attic", text: "A gap" });
  assert.equal(viewOf([older]).openDefects[0].severity, "correct");
});

test("an open defect that may be carried on does not keep its stage from being signed; what is not known does", () => {
  const failed = [answerOf("clearance", "1")];
  assert.equal(itemIn(viewOf(failed), "clearance").settled, false);
  assert.equal(itemIn(viewOf(failed, { may_carry: true }), "clearance").settled, true);
  const unknown = [answerOf("clearance", "cannot tell")];
  assert.equal(itemIn(viewOf(unknown, { may_carry: true }), "clearance").settled, false);
});

test("a defect on an item asks for photos as it was found", () => {
  const view = viewOf([answerOf("clearance", "1")]);
  assert.equal(itemIn(view, "clearance-found").required, false);
  assert.throws(() => itemIn(viewOf([answerOf("clearance", "2 1/2")]), "clearance-found"));
});
