/** One item of a stage: what is asked, against which limit, what was answered, and how to answer. */
import { html, nothing } from "lit-html";
import { FOUND } from "#tablet/corrections.js";
import { controls } from "#tablet/parts/controls.js";
import { draftKey } from "#tablet/parts/entering.js";
import { gaugeBar } from "#tablet/parts/gauge_bar.js";
import { differs, lies, outcome } from "#tablet/parts/outcome.js";
import { verdictSign } from "#tablet/parts/signs.js";

/** @typedef {import("#tablet/app.js").App} App */
/** @typedef {import("#tablet/parts/entering.js").At} At */
/** @typedef {import("#tablet/record_shapes.js").ItemView} ItemView */
/** @typedef {import("#tablet/record_shapes.js").AnswerView} AnswerView */
/** @typedef {import("#tablet/types.js").LastTime} LastTime */

/**
 * @param {App} app
 * @param {At} at
 * @param {ItemView} view
 * @param {{zone: string, open: boolean}} how
 */
export function itemCard(app, at, view, { zone, open }) {
  const { item, answer } = view;
  const refusal = app.drafts.refusal(draftKey(at, view.key));
  const rejected = open ? app.shift?.refusedOf(at.job, at.stage, view.key) : undefined;
  return html`<li class="item" id=${`item-${view.key}`} data-item=${view.key} data-verdict=${answer?.verdict ?? ""} tabindex="-1">
    <div class="item-head">
      <h2 id=${`ask-${view.key}`}>${item.ask}${view.required ? nothing : html` <span class="quiet">if wanted</span>`}</h2>
      <div class="item-signs">${lies(answer)}${verdictSign(answer?.verdict ?? "")}</div>
    </div>
    ${item.how ? html`<p class="how">${item.how}</p>` : nothing}
    ${item.last ? lastTime(app, item.last) : nothing}
    ${item.kind === "measure" ? limit(view) : nothing}
    ${item.kind === "photo" && answer ? [answer, ...several(view)].map((one) => picture(app, one)) : nothing}
    ${said(view, open)}
    ${differs(answer)}
    ${open ? controls(app, at, view) : nothing}
    ${refusal ? html`<p class="refusal" role="alert">${refusal}</p>` : nothing}
    ${rejected?.refusal
      ? html`<p class="refusal" data-refused=${rejected.entry}>The server did not take${rejected.text ? ` “${rejected.text}”` : " this"}: ${rejected.refusal.sentence} Enter it again here to correct it.</p>`
      : nothing}
    ${outcome(view, zone, open)}
  </li>`;
}

/**
 * What was found the last time. Its photo lies with the office and needs a signal.
 * @param {App} app
 * @param {LastTime} last
 */
function lastTime(app, { words, day, verdict, photo }) {
  const poor = verdict === "fail" || verdict === "unknown";
  return html`<div class="last-time">
    <p><strong>Last time:</strong> ${words ? `${words}, ` : ""}${day} ${poor ? verdictSign(verdict) : nothing}</p>
    ${photo?.thumbnail
      ? app.online ? shown(photo.picture, photo.thumbnail) : html`<p>Its photo is shown where there is a signal.</p>`
      : nothing}
  </div>`;
}

/** Of a defect as found every photo counts beside the others. @param {ItemView} view */
function several({ key, history }) {
  return key.endsWith(FOUND) ? history.filter((one) => one.hasPhoto) : [];
}

/** @param {ItemView} view */
export function limit({ item, gauge }) {
  return html`${item.limit_words
      ? html`<div class="limit">
          <span class="limit-words"><span class="quiet">Limit:</span> <strong>${item.limit_words}</strong></span>
          <span class="source">${item.source_words || "What is measured here stays unknown until the inspector decides."}</span>
        </div>`
      : nothing}
    ${gaugeBar(gauge)}`;
}

/**
 * @param {ItemView} view
 * @param {boolean} open
 */
function said({ item, answer }, open) {
  if (!answer) return nothing;
  if (item.kind === "measure") return html`<p class="said"><strong>${answer.said}</strong>${answer.margin ? `, ${answer.margin}` : ""}</p>`;
  if (item.kind === "photo") return answer.hasPhoto ? nothing : html`<p class="said">${answer.said}</p>`;
  return open ? nothing : html`<p class="said"><strong>${answer.said}</strong></p>`;
}

/**
 * A photo of this tablet is shown from its bytes; one the server has, from there where there is a signal.
 * @param {App} app
 * @param {AnswerView} answer
 */
export function picture(app, answer) {
  const shift = app.shift;
  if (!shift || !answer.hasPhoto) return nothing;
  const here = app.pictures.ofEntry(shift.store, answer.entry);
  if (here) return shown(here, here);
  if (answer.photo?.thumbnail && app.online) return shown(answer.photo.picture, answer.photo.thumbnail);
  const where = answer.where === "here" || answer.where === "refused"
    ? "It lies on this tablet."
    : app.online
      ? "It is with the office, and its copy is being prepared."
      : "It is with the office and shown here where there is a signal.";
  return html`<div class="photos"><div class="photo waiting"><strong>Photo kept.</strong> <span>${where}</span></div></div>`;
}

/**
 * @param {string} large
 * @param {string} small
 */
function shown(large, small) {
  return html`<div class="photos"><a class="photo" href=${large} target="_blank" rel="noopener"><img src=${small} alt="Photo, opens large"></a></div>`;
}
