/** That a stove is not to be used: what the server knows of other jobs, and what was found on this one. */
import { html, nothing } from "lit-html";

/** @typedef {import("#tablet/types.js").Bundle} Bundle */
/** @typedef {import("#tablet/record_shapes.js").RecordView} RecordView */

/**
 * Why a stove is not to be used; [] where it may be.
 *
 * @param {Bundle} bundle
 * @param {RecordView | undefined} view
 * @returns {string[]}
 */
export function dangersOf(bundle, view) {
  const here = view?.openDefects.filter((defect) => defect.severity === "danger") ?? [];
  return [...new Set([...(bundle.do_not_use ?? []), ...here.map((defect) => defect.description)])];
}

/**
 * @param {Bundle} bundle
 * @param {RecordView | undefined} view
 */
export function doNotUse(bundle, view) {
  const dangers = dangersOf(bundle, view);
  if (!dangers.length) return nothing;
  return html`<section class="do-not-use" aria-labelledby="do-not-use">
    <h2 id="do-not-use">Do not use</h2>
    <ul>${dangers.map((one) => html`<li>${one}</li>`)}</ul>
    <p>Do not light it. Tag on the appliance, and tell whoever is in the house. It ends when all of this is put right or accepted.</p>
  </section>`;
}
