/** One job: what to know at the door, and the way through its stages. */
import { html, nothing } from "lit-html";
import { repeat } from "lit-html/directives/repeat.js";
import { planAddress, JOBS, recordAddress, stageAddress } from "#tablet/places.js";
import { cautionList, hazards } from "#tablet/parts/cautions.js";
import { doNotUse } from "#tablet/parts/do_not_use.js";
import { beginWork } from "#tablet/parts/entering.js";
import { jobSign, stateSign } from "#tablet/parts/signs.js";
import { clockTime, counted, dayTime } from "#tablet/parts/times.js";

/** @typedef {import("#tablet/app.js").App} App */
/** @typedef {import("#tablet/types.js").KeptBundle} KeptBundle */
/** @typedef {import("#tablet/types.js").Bundle} Bundle */
/** @typedef {import("#tablet/record_shapes.js").RecordView} RecordView */
/** @typedef {import("#tablet/record_shapes.js").StageView} StageView */

/**
 * @param {App} app
 * @param {KeptBundle} kept
 * @param {RecordView} view
 */
export function jobPage(app, { bundle }, view) {
  const { job, site, may } = bundle;
  return {
    title: `${job.number}, ${site.customer}`,
    heading: site.customer,
    sign: jobSign(job, view),
    back: { address: JOBS, words: "Jobs" },
    main: mainAction(app, bundle, view),
    content: html`${doNotUse(bundle, view)}
      ${hazards(site)}
      ${about(bundle)}
      ${view.begun ? nothing : cautionList("Before you cut", bundle.cautions)}
      ${view.begun ? nothing : beginning(app, bundle)}
      ${view.begun ? stageList(bundle, view) : nothing}
      ${ways(bundle, view.begun || may.sign_off)}`,
  };
}

/** @param {Bundle} bundle */
function about({ job, site, visits }) {
  return html`<section class="panel" aria-label="The job"><div class="panel-body"><dl class="facts">
    <dt>Job</dt><dd>${job.kind}, ${job.number}</dd>
    <dt>House</dt><dd>${site.address.map((line) => html`<div>${line}</div>`)}</dd>
    ${site.phone ? html`<dt>Phone</dt><dd><a class="call" href=${`tel:${site.phone.replace(/[^+\d]/g, "")}`}>${site.phone}</a></dd>` : nothing}
    ${visits.length
      ? html`<dt>${visits.length === 1 ? "Visit" : "Visits"}</dt><dd>${visits.map((visit) => html`<div>${dayTime(visit.starts_at, site.time_zone)} to ${clockTime(visit.ends_at, site.time_zone)}, ${visit.crew}${visit.note ? html`<div class="quiet">${visit.note}</div>` : nothing}</div>`)}</dd>`
      : nothing}
  </dl></div></section>`;
}

/**
 * @param {Bundle} bundle
 * @param {boolean} withRecord
 */
function ways({ job, plan }, withRecord) {
  if (!plan && !withRecord) return nothing;
  return html`<nav class="ways" aria-label="More of this job">
    ${plan ? html`<a class="btn btn-quiet" href=${planAddress(job.id)}>Plan ${plan.revision}: drawing and lists</a>` : nothing}
    ${withRecord ? html`<a class="btn btn-quiet" href=${recordAddress(job.id)}>The whole record</a>` : nothing}
  </nav>`;
}

/**
 * @param {App} app
 * @param {Bundle} bundle
 */
function beginning(app, { job, refusal, may, checklist, stages }) {
  const told = app.drafts.refusal(`begin ${job.id}`);
  if (refusal || !may.begin) {
    return html`<div class="empty"><p>${refusal || "Nobody has begun the site work yet. The crew begins it at the house."}</p></div>`;
  }
  return html`<section class="panel" aria-labelledby="begin"><div class="panel-body">
    <h2 id="begin">At the house?</h2>
    <p>Beginning fixes the checklist, the plan and its limits for this job: ${checklist.title}, ${counted(stages.length, "stage")}. It works without a signal.</p>
    ${told ? html`<p class="refusal" role="alert">${told}</p>` : nothing}
  </div></section>`;
}

/**
 * @param {App} app
 * @param {Bundle} bundle
 * @param {RecordView} view
 */
function mainAction(app, { job, refusal, may }, view) {
  if (!view.begun) {
    if (!may.begin || refusal) return nothing;
    return html`<button type="button" class="btn btn-primary go-on" ?disabled=${app.drafts.busy(`begin ${job.id}`)} @click=${() => beginWork(app, job.id)}>Begin site work</button>`;
  }
  const next = view.stages.find((stage) => !stage.signed);
  if (next && may.work) return html`<a class="btn btn-primary go-on" href=${stageAddress(job.id, next.key)}>Go on: ${next.title}</a>`;
  if (may.sign_off) return html`<a class="btn btn-primary go-on" href=${recordAddress(job.id)}>Read the record</a>`;
  return nothing;
}

/**
 * @param {Bundle} bundle
 * @param {RecordView} view
 */
function stageList({ job, site }, view) {
  return html`${view.all_signed
      ? html`<div class="panel"><div class="panel-body"><p><strong>Every stage is signed.</strong> The record waits for the inspector’s signature.</p></div></div>`
      : html`<p class="hold-note">Hold point: nothing after it can be signed until it is.</p>`}
    <ol class="stage-list">${repeat(view.stages, (stage) => stage.key, (stage) => stageRow(job.id, site.time_zone, stage))}</ol>`;
}

/**
 * @param {number} job
 * @param {string} zone
 * @param {StageView} stage
 */
function stageRow(job, zone, stage) {
  return html`<li data-state=${stage.state} data-stage=${stage.key} class=${stage.hold ? "holds" : ""}>
    <span class="stage-number" aria-hidden="true">${stage.number}</span>
    <div class="grow">
      <a class="whole" href=${stageAddress(job, stage.key)}>${stage.title}</a>
      <div class="quiet">${stage.signed
        ? html`Signed by ${stage.signed.by}, ${dayTime(stage.signed.at, zone)}`
        : html`${stage.answered} of ${stage.items.length} done${stage.openDefects.length ? ` · ${counted(stage.openDefects.length, "defect")} open` : ""}`}</div>
      ${stage.signed
        ? nothing
        : html`<div class="hold-notes">
            ${stage.hold ? html`<span class="hold-note">Hold point</span>` : nothing}
            ${stage.lockedBy ? html`<span class="hold-note" data-lock>Cannot be signed before “${stage.lockedBy}”.</span>` : nothing}
          </div>`}
    </div>
    ${stateSign(stage.state)}
  </li>`;
}
