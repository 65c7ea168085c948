/** Signs: every state is a word beside a shape of its own. */
import { html, nothing } from "lit-html";

/** @param {string} words */
function capital(words) {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** @param {string} verdict */
export function verdictSign(verdict) {
  return verdict ? html`<span class="verdict" data-verdict=${verdict}>${capital(verdict)}</span>` : nothing;
}

/** @param {string} state */
export function stateSign(state) {
  return html`<span class="stage-state" data-state=${state}>${capital(state)}</span>`;
}

/**
 * @param {string} status
 * @param {string} words
 */
export function statusSign(status, words) {
  return html`<span class="status" data-status=${status}>${words || capital(status)}</span>`;
}

/**
 * The status of a job; work that began without a signal is on site though the server has yet to hear of it.
 * @param {{status: string, status_words: string}} job
 * @param {{locally_begun: boolean} | undefined} view
 */
export function jobSign(job, view) {
  return view?.locally_begun ? statusSign("on site", "On site") : statusSign(job.status, job.status_words);
}

/** Where an entry lies, as a word and a shape. */
const LIES = {
  here: "Saved on this tablet",
  sent: "Sent",
  server: "Sent",
  refused: "The server did not take this",
  late: "Kept for the inspector",
};

/** @param {keyof typeof LIES} where */
export function whereSign(where) {
  return html`<span class="lies" data-lies=${where}>${LIES[where]}</span>`;
}

/** @param {keyof typeof LIES} where */
export function whereWords(where) {
  return LIES[where];
}

/** How grave a defect is. @type {Record<import("#tablet/types.js").Severity, string>} */
export const SEVERITIES = { danger: "Immediate danger", correct: "Must be corrected", advice: "Advice" };

/** @param {import("#tablet/types.js").Severity} severity */
export function severitySign(severity) {
  return html`<span class="severity" data-severity=${severity}>${SEVERITIES[severity]}</span>`;
}

export const stopFlag = html`<span class="stop-flag">Do not use</span>`;
