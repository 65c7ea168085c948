/** Which page stands at a place. */
import { html } from "lit-html";
import { keyed } from "lit-html/directives/keyed.js";
import { frame } from "#tablet/parts/frame.js";
import { jobPage } from "#tablet/pages/job.js";
import { jobsPage } from "#tablet/pages/jobs.js";
import { missingPage } from "#tablet/pages/missing.js";
import { planPage } from "#tablet/pages/plan.js";
import { recordPage } from "#tablet/pages/record.js";
import { stagePage } from "#tablet/pages/stage.js";
import { tabletPage } from "#tablet/pages/tablet.js";
import { unsentPage } from "#tablet/pages/unsent.js";
import { welcomePage } from "#tablet/pages/welcome.js";

/** @typedef {import("#tablet/app.js").App} App */
/** @typedef {import("#tablet/parts/frame.js").Page} Page */

/**
 * @param {App} app
 * @returns {{title: string, page: unknown}}
 */
export function pageOf(app) {
  if (!app.opened) return { title: "Site work", page: html`<main id="content" class="page" tabindex="-1"><p class="opening">Opening…</p></main>` };
  const page = contentOf(app);
  const { name, job, stage } = app.place;
  // Another place is another page: nothing of the one before may stay in it.
  return { title: page.title, page: frame(app, { ...page, content: keyed(`${name} ${job} ${stage}`, page.content) }) };
}

/**
 * @param {App} app
 * @returns {Page}
 */
function contentOf(app) {
  const { shift, place } = app;
  if (!shift) return welcomePage(app);
  if (place.name === "jobs") return jobsPage(app);
  if (place.name === "unsent") return unsentPage(app);
  if (place.name === "tablet") return tabletPage(app);
  const kept = shift.bundles.get(place.job);
  const view = shift.record(place.job);
  if (!kept || !view) return missingPage(app);
  if (place.name === "plan") return planPage(app, kept);
  if (place.name === "record") return recordPage(app, kept, view);
  if (place.name === "job") return jobPage(app, kept, view);
  const stage = view.stages.find((one) => one.key === place.stage);
  return stage ? stagePage(app, kept, view, stage) : missingPage(app);
}
