/** How each kind of item is entered. */
import { html, nothing } from "lit-html";
import { live } from "lit-html/directives/live.js";
import { FOUND } from "#tablet/corrections.js";
import { draftKey, enterAnswer, enterPhoto } from "#tablet/parts/entering.js";
import { numberPad } from "#tablet/parts/number_pad.js";
import { CANNOT_TELL } from "#tablet/reading.js";

/** @typedef {import("#tablet/app.js").App} App */
/** @typedef {import("#tablet/parts/entering.js").At} At */
/** @typedef {import("#tablet/record_shapes.js").ItemView} ItemView */

/**
 * @param {App} app
 * @param {At} at
 * @param {ItemView} view
 */
export function controls(app, at, view) {
  switch (view.item.kind) {
    case "measure":
      return folded(app, at, view, "Measure again", measure(app, at, view));
    case "photo":
      return folded(app, at, view, view.key.endsWith(FOUND) ? "Take another" : "Take it again", photo(app, at, view));
    case "confirm":
      return choices(app, at, view, [{ key: "yes", words: "Yes" }, { key: "no", words: "No" }], "");
    case "choose":
      return choices(app, at, view, view.item.options, "stacked");
    default:
      return note(app, at, view);
  }
}

/**
 * Entering it again is put away where nothing asks for it.
 * @param {App} app
 * @param {At} at
 * @param {ItemView} view
 * @param {string} words
 * @param {unknown} form
 */
function folded(app, at, view, words, form) {
  const key = draftKey(at, view.key);
  const away = view.answer !== null && view.settled && !app.drafts.refusal(key) && app.again !== key;
  if (!away) return form;
  const open = () => {
    app.again = key;
    app.update();
  };
  return html`<button type="button" class="btn btn-quiet again-button" @click=${open}>${words}</button>`;
}

/**
 * @param {App} app
 * @param {At} at
 * @param {ItemView} view
 * @param {{key: string, words: string}[]} options
 * @param {string} kind
 */
function choices(app, at, view, options, kind) {
  const busy = app.drafts.busy(draftKey(at, view.key));
  const chosen = view.answer?.text ?? "";
  const button = (/** @type {string} */ text, /** @type {string} */ words, /** @type {string} */ less) =>
    html`<button type="button" class="btn choice ${less}" aria-pressed=${chosen === text ? "true" : "false"} ?disabled=${busy} @click=${() => enterAnswer(app, at, view, text)}>${words}</button>`;
  return html`<div class="choices ${kind}" role="group" aria-labelledby=${`ask-${view.key}`}>
    ${options.map(({ key, words }) => button(key, words, ""))}
    ${button(CANNOT_TELL, "Cannot tell", "less")}
  </div>`;
}

/**
 * @param {App} app
 * @param {At} at
 * @param {ItemView} view
 */
function measure(app, at, view) {
  const key = draftKey(at, view.key);
  const field = `field-${view.key}`;
  const { item } = view;
  const busy = app.drafts.busy(key);
  const byKeyboard = app.keyboard === key;
  const save = (/** @type {Event} */ event) => {
    event.preventDefault();
    enterAnswer(app, at, view, app.drafts.text(key));
  };
  const openPad = () => {
    if (app.pad === key || byKeyboard) return;
    app.pad = key;
    app.keyboard = "";
    app.update();
    app.settle(`form-${view.key}`);
  };
  const toKeyboard = () => {
    app.keyboard = key;
    app.pad = "";
    app.update();
    const input = document.getElementById(field);
    input?.blur();
    requestAnimationFrame(() => input?.focus());
  };
  return html`<form class="measure" id=${`form-${view.key}`} @submit=${save}>
    <label class="quiet" for=${field}>${view.answer ? "Measured again" : "Measured"}${item.hint ? `, ${item.hint}` : ""}</label>
    <div class="measure-line">
      <input class="form-control" id=${field} inputmode=${byKeyboard ? item.input_mode : "none"} autocomplete="off" autocapitalize="off" spellcheck="false" maxlength="60" enterkeyhint="done" aria-describedby=${`ask-${view.key}`} .value=${live(app.drafts.text(key))} @click=${openPad} @input=${(/** @type {InputEvent} */ event) => typed(app, key, event)}>
      <button class="btn btn-save" ?disabled=${busy}>Save</button>
    </div>
    ${app.pad === key ? numberPad({ field, keys: item.keys, whole: item.quantity === "count", onKeyboard: toKeyboard }) : nothing}
    <button type="button" class="btn less" aria-pressed=${view.answer?.text === CANNOT_TELL ? "true" : "false"} ?disabled=${busy} @click=${() => enterAnswer(app, at, view, CANNOT_TELL)}>Cannot be measured</button>
  </form>`;
}

/**
 * @param {App} app
 * @param {At} at
 * @param {ItemView} view
 */
function photo(app, at, view) {
  const key = draftKey(at, view.key);
  const field = `field-${view.key}`;
  const busy = app.drafts.busy(key);
  const file = app.drafts.file(key);
  const taken = (/** @type {Event} */ event) => {
    const input = /** @type {HTMLInputElement} */ (event.target);
    const chosen = input.files?.[0];
    // The same picture chosen twice is a change too.
    input.value = "";
    if (chosen) enterPhoto(app, at, view, chosen);
  };
  return html`<div class="photo-form">
    <input class="visually-hidden" type="file" id=${field} accept="image/*" capture="environment" aria-describedby=${`ask-${view.key}`} ?disabled=${busy} @change=${taken}>
    <label class="btn btn-camera" for=${field}>Take the photo</label>
    ${file
      ? html`<div class="sending">
          <img class="preview" alt="The photo just taken" src=${app.pictures.ofFile(key, file)}>
          ${busy
            ? html`<span>Being saved on this tablet…</span>`
            : html`<button type="button" class="btn btn-quiet" @click=${() => enterPhoto(app, at, view, file)}>Save it again</button>`}
        </div>`
      : nothing}
    <button type="button" class="btn less" aria-pressed=${view.answer?.text === CANNOT_TELL ? "true" : "false"} ?disabled=${busy} @click=${() => enterAnswer(app, at, view, CANNOT_TELL)}>Cannot be photographed</button>
  </div>`;
}

/**
 * @param {App} app
 * @param {At} at
 * @param {ItemView} view
 */
function note(app, at, view) {
  const key = draftKey(at, view.key);
  const words = app.drafts.has(key) ? app.drafts.text(key) : (view.answer?.text ?? "");
  const save = (/** @type {Event} */ event) => {
    event.preventDefault();
    enterAnswer(app, at, view, app.drafts.has(key) ? app.drafts.text(key) : words);
  };
  return html`<form class="note" @submit=${save}>
    <textarea class="form-control" id=${`field-${view.key}`} rows="3" maxlength="4000" aria-labelledby=${`ask-${view.key}`} .value=${live(words)} @input=${(/** @type {InputEvent} */ event) => typed(app, key, event)}></textarea>
    <button class="btn btn-save" ?disabled=${app.drafts.busy(key)}>Save the note</button>
  </form>`;
}

/**
 * Keep what is being typed; the page is drawn anew only where that changes something.
 * @param {App} app
 * @param {string} key
 * @param {InputEvent} event
 */
function typed(app, key, event) {
  const before = app.drafts.any();
  app.drafts.setText(key, /** @type {HTMLInputElement} */ (event.target).value);
  if (before !== app.drafts.any() || app.pad === key) app.update();
}
