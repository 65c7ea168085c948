/** One stage of the record, to be read: every item with its verdict. */
import { html, nothing } from "lit-html";
import { returnedNotes } from "#tablet/parts/cautions.js";
import { gaugeBar } from "#tablet/parts/gauge_bar.js";
import { picture } from "#tablet/parts/item.js";
import { differs, lies, outcome } from "#tablet/parts/outcome.js";
import { report } from "#tablet/parts/report.js";
import { stateSign, verdictSign, whereSign } from "#tablet/parts/signs.js";
import { dayTime } from "#tablet/parts/times.js";

/** @typedef {import("#tablet/app.js").App} App */
/** @typedef {import("#tablet/types.js").Bundle} Bundle */
/** @typedef {import("#tablet/record_shapes.js").StageView} StageView */
/** @typedef {import("#tablet/record_shapes.js").ItemView} ItemView */

/**
 * @param {App} app
 * @param {Bundle} bundle
 * @param {StageView} stage
 */
export function evidence(app, { job, site, may, signed_off: closed }, stage) {
  const zone = site.time_zone;
  const { signed } = stage;
  return html`<section class="panel review-stage" id=${`stage-${stage.key}`} data-stage=${stage.key} tabindex="-1" aria-labelledby=${`title-${stage.key}`}>
    <div class="panel-head"><h2 id=${`title-${stage.key}`}>${stage.number}. ${stage.title}${stage.hold ? html` <span class="quiet">hold point</span>` : nothing}</h2>${stateSign(stage.state)}</div>
    <div class="panel-body">
      ${returnedNotes(stage.returns, zone)}
      <ul class="evidence">${stage.items.map((view) => html`<li data-item=${view.key} data-verdict=${view.answer?.verdict ?? ""}>${found(app, view, zone)}</li>`)}</ul>
      ${signed ? html`<p><strong>Signed:</strong> ${signed.by}, ${dayTime(signed.at, zone)} ${signed.where === "server" ? nothing : whereSign(signed.where)}</p>` : nothing}
      ${may.report && !closed ? report(app, { job: job.id, stage: stage.key, system: site.system }, stage) : nothing}
    </div>
  </section>`;
}

/**
 * @param {App} app
 * @param {ItemView} view
 * @param {string} zone
 */
function found(app, view, zone) {
  const { item, answer } = view;
  return html`<div class="evidence-head"><h3>${item.ask}</h3>${answer?.verdict
      ? verdictSign(answer.verdict)
      : view.required
        ? html`<span class="verdict" data-verdict="unknown">Missing</span>`
        : html`<span class="quiet">Not asked for</span>`}</div>
    ${item.kind === "measure"
      ? html`<div class="evidence-measure"><div><span class="measured">${answer?.said || "–"}</span>${answer?.margin ? html` <span>${answer.margin}</span>` : nothing}${item.limit_words ? html`<div>Limit: <strong>${item.limit_words}</strong></div><div class="quiet">${item.source_words}</div>` : nothing}</div>${gaugeBar(view.gauge)}</div>`
      : answer?.hasPhoto
        ? picture(app, answer)
        : answer
          ? html`<p class="measured">${answer.said}</p>`
          : nothing}
    ${answer ? html`<p class="who">${item.kind === "measure" && answer.text ? `Typed “${answer.text}”. ` : ""}${answer.by}, ${dayTime(answer.at, zone)}</p>${answer.where === "server" ? nothing : html`<p>${lies(answer)}</p>`}${differs(answer)}` : nothing}
    ${outcome(view, zone, false)}`;
}
