/** One stage: what to know first, what to measure and photograph, what is still open, and the signature. */
import { html, nothing } from "lit-html";
import { repeat } from "lit-html/directives/repeat.js";
import { jobAddress, planAddress, stageAddress } from "#tablet/places.js";
import { cautionList, planSays, returnedNotes } from "#tablet/parts/cautions.js";
import { doNotUse } from "#tablet/parts/do_not_use.js";
import { draftKey, signStage } from "#tablet/parts/entering.js";
import { itemCard } from "#tablet/parts/item.js";
import { planSheet } from "#tablet/parts/plan_sheet.js";
import { report } from "#tablet/parts/report.js";
import { signing } from "#tablet/parts/signing.js";
import { stateSign, whereSign } from "#tablet/parts/signs.js";
import { dayTime } from "#tablet/parts/times.js";

/** @typedef {import("#tablet/app.js").App} App */
/** @typedef {import("#tablet/parts/entering.js").At} At */
/** @typedef {import("#tablet/types.js").Bundle} Bundle */
/** @typedef {import("#tablet/types.js").KeptBundle} KeptBundle */
/** @typedef {import("#tablet/record_shapes.js").RecordView} RecordView */
/** @typedef {import("#tablet/record_shapes.js").StageView} StageView */

/**
 * @param {App} app
 * @param {KeptBundle} kept
 * @param {RecordView} view
 * @param {StageView} stage
 */
export function stagePage(app, { bundle }, view, stage) {
  const { job, site, plan } = bundle;
  const open = mayEnter(bundle, view, stage);
  const at = { job: job.id, stage: stage.key, system: site.system };
  return {
    title: `${stage.title}, ${job.number}`,
    heading: html`<span class="stage-number" aria-hidden="true">${stage.number}</span> ${stage.title}`,
    sign: stateSign(stage.state),
    back: { address: jobAddress(job.id), words: "All stages" },
    main: mainAction(app, job.id, view, stage, open),
    content: html`${doNotUse(bundle, view)}
      ${cautionList("First", stage.cautions)}
      ${returnedNotes(stage.returns, site.time_zone)}
      ${planSays(stage.plan_says)}
      ${why(bundle, view, stage, open)}
      <div class="stage-columns">
        <div>
          <ul class="items" data-stage=${stage.key}>${repeat(stage.items, (one) => one.key, (one) => itemCard(app, at, one, { zone: site.time_zone, open }))}</ul>
          ${foot(app, at, stage, { zone: site.time_zone, open })}
          ${bundle.may.report && view.begun && !view.signedOff ? report(app, at, stage) : nothing}
        </div>
        <div class="stage-side">${plan
          ? html`<details class="panel sheet"><summary class="panel-head"><h2>Plan ${plan.revision}: drawing and lists</h2></summary>
              <div class="panel-body">${planSheet(plan)}<p><a class="btn btn-quiet" href=${planAddress(job.id)}>Open it large</a></p></div></details>`
          : nothing}</div>
      </div>`,
  };
}

/**
 * @param {Bundle} bundle
 * @param {RecordView} view
 * @param {StageView} stage
 */
function mayEnter({ may }, view, stage) {
  return may.work && view.begun && !stage.signed && !view.signedOff;
}

/**
 * @param {Bundle} bundle
 * @param {RecordView} view
 * @param {StageView} stage
 * @param {boolean} open
 */
function why({ may }, view, stage, open) {
  if (open || stage.signed) return nothing;
  if (!view.begun && may.begin) return html`<p class="hold-note" data-lock>Begin the site work on the job’s page first.</p>`;
  return may.work ? nothing : html`<p class="hold-note" data-lock>You can read this stage; the crew works it.</p>`;
}

/**
 * @param {App} app
 * @param {number} job
 * @param {RecordView} view
 * @param {StageView} stage
 * @param {boolean} open
 */
function mainAction(app, job, view, stage, open) {
  if (open) {
    const save = saveTyped(app, job, stage);
    if (save) return save;
    const left = stage.items.filter((item) => !item.settled);
    if (left.length) {
      return html`<button type="button" class="btn btn-primary go-on" data-next-open @click=${() => app.showItem(app.nextAfter(left.map((item) => item.key)))}>Next open: ${left.length}</button>`;
    }
    if (stage.canSign) return html`<button type="button" class="btn btn-primary go-on" @click=${() => app.show("sign-here")}>To the signature</button>`;
  }
  const next = view.stages.find((one) => one.number > stage.number && !one.signed);
  return next ? html`<a class="btn btn-primary go-on" href=${stageAddress(job, next.key)}>${next.title} ›</a>` : nothing;
}

/**
 * While keys are open, saving what was typed is the one thing to do next.
 * @param {App} app
 * @param {number} job
 * @param {StageView} stage
 */
function saveTyped(app, job, stage) {
  const typed = stage.items.find((item) => app.pad !== "" && app.pad === draftKey({ job, stage: stage.key }, item.key));
  const text = app.drafts.text(app.pad).trim();
  if (!typed || !text) return null;
  return html`<button class="btn btn-primary go-on" form=${`form-${typed.key}`} ?disabled=${app.drafts.busy(app.pad)}>Save ${text}</button>`;
}

/**
 * @param {App} app
 * @param {At} at
 * @param {StageView} stage
 * @param {{zone: string, open: boolean}} how
 */
function foot(app, at, stage, { zone, open }) {
  if (stage.signed) return signed(stage.signed, zone);
  const refused = app.shift?.refusedKind(at.job, "signature", at.stage)?.refusal;
  return html`${stage.hold ? html`<p class="hold-note">Hold point: nothing after this stage can be signed until it is.</p>` : nothing}
    ${stage.lockedBy ? html`<p class="hold-note" data-lock>This stage can be worked on, but not signed before “${stage.lockedBy}” is.</p>` : nothing}
    ${refused ? html`<p class="refusal">The server did not take the signature: ${refused.sentence}</p>` : nothing}
    ${stage.missing.length ? missing(app, stage) : nothing}
    ${stage.canSign && open ? signHere(app, at) : nothing}`;
}

/**
 * @param {NonNullable<StageView["signed"]>} signing
 * @param {string} zone
 */
function signed({ by, at, where }, zone) {
  return html`<section class="panel signed" aria-labelledby="signed">
    <div class="panel-head"><h2 id="signed">Signed and frozen</h2></div>
    <div class="panel-body"><p>${by}, ${dayTime(at, zone)}</p><p>${whereSign(where)}</p></div>
  </section>`;
}

/**
 * @param {App} app
 * @param {StageView} stage
 */
function missing(app, stage) {
  const left = stage.items.filter((item) => !item.settled);
  return html`<section class="panel" aria-labelledby="missing">
    <div class="panel-head"><h2 id="missing">Still open: ${left.length}</h2></div>
    <div class="panel-body"><ul class="missing">${left.map((item) => html`<li><button type="button" class="link" @click=${() => app.showItem(item.key)}>${item.item.ask}</button></li>`)}</ul></div>
  </section>`;
}

/**
 * @param {App} app
 * @param {At} at
 */
function signHere(app, at) {
  return html`<section class="panel" aria-labelledby="sign" id="sign-here" tabindex="-1">
    <div class="panel-head"><h2 id="sign">Sign this stage</h2></div>
    <div class="panel-body">
      <p>With your signature the stage is frozen: you saw it, measured it and answer for it.</p>
      ${signing(app, { key: draftKey(at, "signature"), words: "Sign the stage", onSign: (ink) => signStage(app, at, ink) })}
    </div>
  </section>`;
}
