/** Reporting a defect by hand. */
import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { baseKey } from "#tablet/corrections.js";
import { draftKey, reportDefect } from "#tablet/parts/entering.js";
import { SEVERITIES } from "#tablet/parts/signs.js";

/** @typedef {import("#tablet/app.js").App} App */
/** @typedef {import("#tablet/parts/entering.js").At} At */
/** @typedef {import("#tablet/types.js").Severity} Severity */
/** @typedef {import("#tablet/record_shapes.js").StageView} StageView */

/** @type {Record<Severity, string>} */
const MEANS = {
  danger: "The stove is not to be used. A notice goes to the customer as soon as this is sent.",
  correct: "It has to be put right.",
  advice: "Good to know; it stands in nobody’s way.",
};

/**
 * @param {App} app
 * @param {At} at
 * @param {StageView} stage
 */
export function report(app, at, stage) {
  const key = draftKey(at, "defect");
  const [grave, place] = [`${key}-severity`, `${key}-place`];
  const refusal = app.drafts.refusal(key);
  const free = stage.items.filter((item) => !item.defect && baseKey(item.key) === item.key && !item.key.startsWith("defect-"));
  const send = async (/** @type {Event} */ event) => {
    event.preventDefault();
    const form = /** @type {HTMLFormElement} */ (event.currentTarget);
    const item = /** @type {HTMLSelectElement} */ (form.elements.namedItem("item")).value;
    const severity = /** @type {Severity | ""} */ (app.drafts.text(grave));
    if (await reportDefect(app, at, { item, text: app.drafts.text(key), severity, place: app.drafts.text(place) })) {
      for (const one of [grave, place]) app.drafts.setText(one, "");
      form.closest("details")?.removeAttribute("open");
      app.update();
    }
  };
  const choose = (/** @type {Severity} */ one) => {
    app.drafts.setText(grave, one);
    app.update();
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
      <label class="form-label" for=${`place-${stage.key}`}>Where exactly, if the words above do not say it</label>
      <input class="form-control" id=${`place-${stage.key}`} maxlength="200" .value=${live(app.drafts.text(place))} @input=${(/** @type {InputEvent} */ event) => app.drafts.setText(place, /** @type {HTMLInputElement} */ (event.target).value)}>
      <p class="form-label" id=${`grave-${stage.key}`}>How grave it is</p>
      <div class="choices stacked severities" role="group" aria-labelledby=${`grave-${stage.key}`}>
        ${/** @type {[Severity, string][]} */ (Object.entries(SEVERITIES)).map(
          ([one, words]) => html`<button type="button" class="btn choice" data-severity=${one} aria-pressed=${app.drafts.text(grave) === one ? "true" : "false"} @click=${() => choose(one)}><span><strong>${words}</strong> <span class="what">${MEANS[one]}</span></span></button>`,
        )}
      </div>
      ${refusal ? html`<p class="refusal" role="alert">${refusal}</p>` : nothing}
      <div class="btn-row"><button class="btn btn-quiet" ?disabled=${app.drafts.busy(key)}>Report it</button></div>
    </form></div>
  </details>`;
}
