/** Reporting a defect by hand. */
import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { draftKey, reportDefect } from "#tablet/parts/entering.js";

/** @typedef {import("#tablet/app.js").App} App */
/** @typedef {import("#tablet/parts/entering.js").At} At */
/** @typedef {import("#tablet/record_shapes.js").StageView} StageView */

/**
 * @param {App} app
 * @param {At} at
 * @param {StageView} stage
 */
export function report(app, at, stage) {
  const key = draftKey(at, "defect");
  const refusal = app.drafts.refusal(key);
  const free = stage.items.filter((item) => !item.defect && !item.key.startsWith("defect-"));
  const send = async (/** @type {Event} */ event) => {
    event.preventDefault();
    const form = /** @type {HTMLFormElement} */ (event.currentTarget);
    const item = /** @type {HTMLSelectElement} */ (form.elements.namedItem("item")).value;
    if (await reportDefect(app, at, item, app.drafts.text(key))) form.closest("details")?.removeAttribute("open");
  };
  return html`<details class="panel report">
    <summary class="panel-head"><h2>Report a defect</h2></summary>
    <div class="panel-body"><form @submit=${send}>
      <label class="form-label" for=${`about-${stage.key}`}>About</label>
      <select class="form-select" id=${`about-${stage.key}`} name="item">
        <option value="">The stage as a whole</option>
        ${free.map((item) => html`<option value=${item.key}>${item.item.ask}</option>`)}
      </select>
      <label class="form-label" for=${`defect-${stage.key}`}>What is wrong, and where</label>
      <textarea class="form-control" id=${`defect-${stage.key}`} rows="3" maxlength="2000" .value=${live(app.drafts.text(key))} @input=${(/** @type {InputEvent} */ event) => app.drafts.setText(key, /** @type {HTMLTextAreaElement} */ (event.target).value)}></textarea>
      ${refusal ? html`<p class="refusal" role="alert">${refusal}</p>` : nothing}
      <div class="btn-row"><button class="btn btn-quiet" ?disabled=${app.drafts.busy(key)}>Report it</button></div>
    </form></div>
  </details>`;
}
