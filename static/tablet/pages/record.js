/** The whole record, to be read and, by the inspector, signed off. */
import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { jobAddress } from "#tablet/places.js";
import { signOff } from "#tablet/parts/entering.js";
import { doNotUse } from "#tablet/parts/do_not_use.js";
import { evidence } from "#tablet/parts/evidence.js";
import { signing } from "#tablet/parts/signing.js";
import { jobSign, severitySign, whereSign } from "#tablet/parts/signs.js";
import { counted, dayTime } from "#tablet/parts/times.js";

/** @typedef {import("#tablet/app.js").App} App */
/** @typedef {import("#tablet/types.js").Bundle} Bundle */
/** @typedef {import("#tablet/types.js").KeptBundle} KeptBundle */
/** @typedef {import("#tablet/record_shapes.js").RecordView} RecordView */

/**
 * @param {App} app
 * @param {KeptBundle} kept
 * @param {RecordView} view
 */
export function recordPage(app, { bundle }, view) {
  const { job, site, may } = bundle;
  const refusals = inTheWay(bundle, view);
  const mayClose = may.sign_off && view.begun && !view.signedOff;
  return {
    title: `Record of ${job.number}`,
    heading: html`Record: ${site.customer}`,
    sign: jobSign(job, view),
    back: { address: jobAddress(job.id), words: "The job" },
    main: mayClose && !refusals.length
      ? html`<button type="button" class="btn btn-primary go-on" @click=${() => app.show("sign-here")}>Sign the job off</button>`
      : nothing,
    content: view.begun
      ? html`<div class="review">
          ${doNotUse(bundle, view)}
          ${standing(view, refusals, site.time_zone)}
          ${defects(bundle, view)}
          ${late(bundle)}
          <nav class="stage-index" aria-label="Stages of this record">${view.stages.map((stage) => html`<button type="button" class="btn btn-quiet" @click=${() => app.show(`stage-${stage.key}`)}>${stage.number}. ${stage.title}</button>`)}</nav>
          ${view.stages.map((stage) => evidence(app, bundle, stage))}
          ${mayClose ? close(app, bundle, view, refusals) : nothing}
        </div>`
      : html`<div class="empty"><p>The site work has not begun, so there is nothing to read yet.</p></div>`,
  };
}

/**
 * @param {Bundle} bundle
 * @param {RecordView} view
 */
function inTheWay(bundle, view) {
  const unseen = bundle.late.filter((entry) => !entry.looked_at).length;
  const late = unseen ? [`${counted(unseen, "entry", "entries")} came late and must be looked at first.`] : [];
  return [...view.missing, ...late];
}

/**
 * @param {RecordView} view
 * @param {string[]} refusals
 * @param {string} zone
 */
function standing(view, refusals, zone) {
  const { signedOff } = view;
  return html`<section class="panel" aria-labelledby="open">
    <div class="panel-head"><h2 id="open">${signedOff ? "Signed off" : refusals.length ? `In the way of sign-off: ${refusals.length}` : "Nothing is missing"}</h2></div>
    <div class="panel-body">${signedOff
      ? html`<p>${signedOff.by}, ${dayTime(signedOff.at, zone)}</p><p>${whereSign(signedOff.where)}</p>`
      : refusals.length
        ? html`<ul class="refusals" tabindex="0" aria-labelledby="open">${refusals.map((sentence) => html`<li>${sentence}</li>`)}</ul>`
        : html`<p>Every required item is answered, and every defect is put right, waived or carried on.</p>`}</div>
  </section>`;
}

/**
 * @param {Bundle} bundle
 * @param {RecordView} view
 */
function defects({ site, defects: all, may }, view) {
  const waived = all.filter((defect) => defect.waiver);
  if (!view.openDefects.length && !waived.length) return nothing;
  return html`<section class="panel" aria-labelledby="defects">
    <div class="panel-head"><h2 id="defects">Defects and waivers</h2></div>
    <div class="panel-body">
      ${view.openDefects.map((one) => html`<article class="defect" data-severity=${one.severity}><p><strong>Open:</strong> ${severitySign(one.severity)}</p><p>${one.description}</p>${one.place ? html`<p>Where: ${one.place}</p>` : nothing}${one.rule ? html`<p class="quiet">Rule: ${one.rule}</p>` : nothing}<p class="quiet">${one.by}, ${dayTime(one.at, site.time_zone)}</p></article>`)}
      ${waived.map(({ description, waiver }) => waiver
        ? html`<article class="waiver"><p><strong>Waived:</strong> ${description}</p><p>${waiver.authority}: ${waiver.reason}</p><p class="quiet">${waiver.by}, ${dayTime(waiver.at, site.time_zone)}</p></article>`
        : nothing)}
      ${may.sign_off && view.openDefects.length ? html`<p class="quiet">Accepting a defect by waiver and sending stages back need a signal.</p>` : nothing}
    </div>
  </section>`;
}

/** @param {Bundle} bundle */
function late({ site, late: entries }) {
  if (!entries.length) return nothing;
  return html`<section class="panel" aria-labelledby="late">
    <div class="panel-head"><h2 id="late">Came late</h2></div>
    <ul class="rows">${entries.map((one) => html`<li data-late=${one.entry}>
      <div class="grow"><strong>${one.words}</strong><div>${one.why}</div><div class="quiet">${one.by}, ${dayTime(one.received_at, site.time_zone)}</div></div>
      ${one.looked_at ? html`<span class="quiet">Looked at</span>` : html`<span class="flag" data-flag="soon">To be looked at</span>`}
    </li>`)}</ul>
  </section>`;
}

/**
 * @param {App} app
 * @param {Bundle} bundle
 * @param {RecordView} view
 * @param {string[]} refusals
 */
function close(app, { job }, view, refusals) {
  const key = `sign-off ${job.id}`;
  const carried = view.openDefects.filter((one) => one.severity !== "advice");
  const refused = app.shift?.refusedKind(job.id, "sign_off")?.refusal;
  const remarks = html`<label class="form-label" for="remarks">Remarks for the certificate, if any</label>
    <textarea class="form-control" id="remarks" rows="3" maxlength="4000" .value=${live(app.drafts.text(`${key} remarks`))} @input=${(/** @type {InputEvent} */ event) => app.drafts.setText(`${key} remarks`, /** @type {HTMLTextAreaElement} */ (event.target).value)}></textarea>`;
  const sign = async (/** @type {import("#tablet/types.js").SignatureInk} */ ink) => {
    if (await signOff(app, job.id, app.drafts.text(`${key} remarks`), ink)) {
      app.drafts.drop(`${key} remarks`);
      app.update();
    }
  };
  return html`<section class="panel" aria-labelledby="sign-off" id="sign-here" tabindex="-1">
    <div class="panel-head"><h2 id="sign-off">Sign the job off</h2></div>
    <div class="panel-body">
      ${refused ? html`<p class="refusal">The server did not take the sign-off: ${refused.sentence}</p>` : nothing}
      ${refusals.length
        ? html`<p><strong>Not yet:</strong> ${counted(refusals.length, "thing")} in the way. The list stands at the top of this page.</p>`
        : html`<p>Your signature closes the job, issues the closing certificate or the inspection report and starts the yearly services. You answer for the whole record.</p>
            ${carried.length ? html`<p class="hold-note">${carried.length === 1 ? "1 defect stays" : `${carried.length} defects stay`} open. With your signature a repair is opened that is to put ${carried.length === 1 ? "it" : "them"} right.</p>` : nothing}
            ${signing(app, { key, words: "Sign off and close the job", more: remarks, onSign: sign })}`}
      <p class="record-online"><a class="call" href=${`/jobs/${job.id}/record/`}>Waivers, and sending back to the crew</a> need a signal.</p>
    </div>
  </section>`;
}
