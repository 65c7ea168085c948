/** What stands where a job or a stage is not on this tablet. */
import { html } from "lit-html";
import { JOBS } from "#tablet/places.js";

/** @param {import("#tablet/app.js").App} app */
export function missingPage(app) {
  return {
    title: "Not on this tablet",
    heading: "Not on this tablet",
    back: { address: JOBS, words: "Jobs" },
    content: html`<div class="empty"><p>${
      app.fetching
        ? "Fetching your jobs…"
        : app.online
          ? "This job is not among yours of today and the days ahead. Ask the office whether it has been given to another crew."
          : "This job was not fetched before the signal went. It comes by itself where there is one."
    }</p></div>`,
  };
}
