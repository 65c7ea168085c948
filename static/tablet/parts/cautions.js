/** What to know before doing anything: hazards of the house, cautions, what was sent back, what the plan says. */
import { html, nothing } from "lit-html";
import { dayTime } from "#tablet/parts/times.js";

/** @param {import("#tablet/types.js").Bundle["site"]} site */
export function hazards(site) {
  if (!site.hazard_notes && !site.access_notes) return nothing;
  return html`<section class="caution" aria-label="About this house">
    <h2>About this house</h2>
    ${site.hazard_notes ? html`<p><strong>Hazards:</strong> ${site.hazard_notes}</p>` : nothing}
    ${site.access_notes ? html`<p><strong>Getting in:</strong> ${site.access_notes}</p>` : nothing}
  </section>`;
}

/**
 * @param {string} heading
 * @param {string[]} cautions
 */
export function cautionList(heading, cautions) {
  if (!cautions.length) return nothing;
  return html`<section class="caution" aria-label="Cautions">
    <h2>${heading}</h2>
    <ul>${cautions.map((caution) => html`<li>${caution}</li>`)}</ul>
  </section>`;
}

/**
 * @param {import("#tablet/types.js").StageReturn[]} returns
 * @param {string} zone
 */
export function returnedNotes(returns, zone) {
  return returns.map(({ by, at, reason }) => html`<section class="returned">
    <h2>Sent back by ${by}</h2>
    <p>${reason}</p>
    <p class="quiet">${dayTime(at, zone)}. The signature given before is kept.</p>
  </section>`);
}

/** @param {string[]} sentences */
export function planSays(sentences) {
  if (!sentences.length) return nothing;
  return html`<section class="plan-says" aria-label="What the plan says">
    <h2>The plan says</h2>
    <ul>${sentences.map((sentence) => html`<li>${sentence}</li>`)}</ul>
  </section>`;
}
