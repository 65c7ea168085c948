/** What came of an item: where its answer lies, what the server said otherwise, defects, waivers, earlier entries. */
import { html, nothing } from "lit-html";
import { dayTime } from "#tablet/parts/times.js";
import { severitySign, whereSign, whereWords } from "#tablet/parts/signs.js";

/** @typedef {import("#tablet/record_shapes.js").ItemView} ItemView */
/** @typedef {import("#tablet/record_shapes.js").AnswerView} AnswerView */
/** @typedef {import("#tablet/record_shapes.js").DefectView} DefectView */

/** @param {AnswerView | null} answer */
export function lies(answer) {
  return answer ? html`<span class="lies-line" data-saved=${answer.entry}>${whereSign(answer.where)}</span>` : nothing;
}

/**
 * What the server said of an answer, where it came to another verdict or has something to tell.
 * @param {AnswerView | null} answer
 */
export function differs(answer) {
  return answer?.sentence ? html`<p class="differs" data-differs=${answer.differs ? "yes" : "no"}>${answer.sentence}</p>` : nothing;
}

/**
 * @param {ItemView} view
 * @param {string} zone
 * @param {boolean} open Whether something may be entered
 */
export function outcome(view, zone, open) {
  return html`${view.defect
      ? openDefect(view, view.defect, open)
      : view.waiver
        ? html`<div class="waiver"><strong>Accepted by waiver.</strong> ${view.waiver.authority}: ${view.waiver.reason} <span class="quiet">${view.waiver.by}, ${dayTime(view.waiver.at, zone)}</span></div>`
        : nothing}
    ${view.history.length ? history(view.history, zone) : nothing}`;
}

/**
 * @param {ItemView} view
 * @param {DefectView} defect
 * @param {boolean} open
 */
function openDefect({ settled }, defect, open) {
  const how = settled ? "It may stay open: it goes with the record." : "Put it right and enter it again.";
  return html`<div class="defect" data-severity=${defect.severity}>
    <div><strong>Defect open.</strong> ${severitySign(defect.severity)}</div>
    <div>${defect.description}</div>
    ${defect.place ? html`<div>Where: ${defect.place}</div>` : nothing}
    ${defect.rule && !defect.description.includes(defect.rule) ? html`<div class="quiet">Rule: ${defect.rule}</div>` : nothing}
    ${defect.photos.length ? html`<div class="photos">${defect.photos.map((one) => one.thumbnail ? html`<a class="photo" href=${one.picture} target="_blank" rel="noopener"><img src=${one.thumbnail} alt="The defect as found, opens large"></a>` : nothing)}</div>` : nothing}
    ${defect.severity === "danger" ? html`<div><strong>Do not use the stove.</strong> Put the tag on, and tell whoever is in the house.</div>` : nothing}
    ${open ? html`<div>${how}</div>` : nothing}
  </div>`;
}

/**
 * @param {AnswerView[]} entries
 * @param {string} zone
 */
function history(entries, zone) {
  return html`<details class="history"><summary>Earlier entries: ${entries.length}</summary>
    <ul>${entries.map((one) => html`<li>${typed(one)}, ${one.verdict}, ${one.by}, ${dayTime(one.at, zone)}${apart(one)}</li>`)}</ul>
  </details>`;
}

/** @param {AnswerView} answer */
function typed({ text, said }) {
  return text && text !== said && said ? `${text} (${said})` : said || text;
}

/** @param {AnswerView} answer */
function apart({ where, sentence }) {
  if (where !== "refused" && where !== "late") return nothing;
  return html`<div>${whereWords(where)}${sentence ? `: ${sentence}` : ""}</div>`;
}
