/** The plan's sheet: drawing, what it says beforehand, what to cut, which panels to make, what to load. */
import { html, nothing } from "lit-html";
import { drawing } from "#tablet/parts/drawing.js";

/** @typedef {import("#tablet/types.js").Plan} Plan */

/** @param {Plan} plan */
export function planSheet(plan) {
  return html`${plan.drawing ? drawn(plan.drawing) : nothing}
    ${plan.findings.length
      ? html`<h3>What the plan says beforehand</h3><ul class="findings">${plan.findings.map((one) => html`<li>${one}</li>`)}</ul>`
      : nothing}
    ${plan.cut_list.length ? cutList(plan.cut_list) : nothing}
    ${plan.panels.length ? panels(plan.panels) : nothing}
    ${plan.load_list.length ? loadList(plan.load_list) : nothing}`;
}

/** @param {string} source */
function drawn(source) {
  const picture = drawing(source);
  if (!picture) return html`<p class="quiet">The drawing cannot be shown here. It is in the printed work pack.</p>`;
  return html`<div class="drawing" tabindex="0" role="region" aria-label="Drawing; scroll sideways if it is wider than the screen">${picture.cloneNode(true)}</div>`;
}

/**
 * @param {string} name
 * @param {string} note
 */
function named(name, note) {
  return html`${name}${note ? html`<div class="quiet">${note}</div>` : nothing}`;
}

/** @param {Plan["cut_list"]} cuts */
function cutList(cuts) {
  return html`<h3 id="cut-list">Cut list</h3>
    <div class="table-responsive" tabindex="0" role="region" aria-labelledby="cut-list"><table class="table">
      <thead><tr><th>Piece</th><th>Stock</th><th class="num">Count</th><th class="num">Length</th></tr></thead>
      <tbody>${cuts.map((cut) => html`<tr><td>${named(cut.name, cut.note)}</td><td>${cut.stock}</td><td class="num">${cut.count}</td><td class="num">${cut.length}</td></tr>`)}</tbody>
    </table></div>`;
}

/** @param {Plan["panels"]} rows */
function panels(rows) {
  return html`<h3 id="panels">Enclosure panels</h3>
    <p class="quiet">Lying flat, longer face up.</p>
    <div class="table-responsive" tabindex="0" role="region" aria-labelledby="panels"><table class="table">
      <thead><tr><th>Panel</th><th class="num">Count</th><th class="num">Width</th><th class="num">Left edge</th><th class="num">Right edge</th><th class="num">Top bevel</th></tr></thead>
      <tbody>${rows.map((row) => html`<tr><td>${named(row.name, row.note)}</td><td class="num">${row.count}</td><td class="num">${row.width}</td><td class="num">${row.left}</td><td class="num">${row.right}</td><td class="num">${row.bevel}</td></tr>`)}</tbody>
    </table></div>`;
}

/** @param {Plan["load_list"]} rows */
function loadList(rows) {
  return html`<h3 id="load-list">Load list</h3>
    <div class="table-responsive" tabindex="0" role="region" aria-labelledby="load-list"><table class="table">
      <thead><tr><th>What</th><th class="num">Count</th></tr></thead>
      <tbody>${rows.map((row) => html`<tr><td>${named(row.name, row.note)}</td><td class="num">${row.count}</td></tr>`)}</tbody>
    </table></div>`;
}
