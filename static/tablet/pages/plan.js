/** The plan of a job: drawing and lists. */
import { html } from "lit-html";
import { jobAddress } from "#tablet/places.js";
import { planSheet } from "#tablet/parts/plan_sheet.js";

/**
 * @param {import("#tablet/app.js").App} _app
 * @param {import("#tablet/types.js").KeptBundle} kept
 */
export function planPage(_app, { bundle }) {
  const { job, site, plan } = bundle;
  return {
    title: `Plan, ${job.number}`,
    heading: plan ? `Plan ${plan.revision}, ${site.customer}` : `Plan, ${site.customer}`,
    back: { address: jobAddress(job.id), words: "The job" },
    content: plan
      ? html`<section class="panel sheet"><div class="panel-body">${planSheet(plan)}</div></section>`
      : html`<div class="empty"><p>This job has no plan of its own.</p></div>`,
  };
}
