/** Signing with a finger, or by typing one's name. */
import "#tablet/parts/sign_box.js";
import { html, nothing } from "lit-html";
import { createRef, ref } from "lit-html/directives/ref.js";
import { live } from "lit-html/directives/live.js";

/** @typedef {import("#tablet/app.js").App} App */
/** @typedef {import("#tablet/parts/sign_box.js").SignBoxElement} SignBoxElement */
/** @typedef {import("#tablet/types.js").SignatureInk} SignatureInk */

/** @type {Map<string, import("lit-html/directives/ref.js").Ref<SignBoxElement>>} */
const boxes = new Map();

/**
 * @param {App} app
 * @param {object} of
 * @param {string} of.key What is drawn and typed is kept under this key until it is saved
 * @param {string} of.words On the button
 * @param {unknown} [of.more] Fields between the box and the button
 * @param {(ink: SignatureInk) => void} of.onSign
 */
export function signing(app, { key, words, more, onSign }) {
  const name = app.person?.name ?? "";
  const typed = `${key} name`;
  const box = boxes.get(key) ?? createRef();
  boxes.set(key, box);
  const byName = app.signByName === key;
  const refusal = app.drafts.refusal(key);
  const sign = (/** @type {Event} */ event) => {
    event.preventDefault();
    const drawn = byName ? null : box.value?.ink;
    const typedName = byName ? app.drafts.text(typed) : "";
    onSign({ strokes: [], width: 600, height: 220, ...drawn, name: typedName });
  };
  const change = () => {
    app.signByName = byName ? "" : key;
    app.drafts.drop(typed);
    app.drafts.setInk(key, false);
    app.update();
  };
  return html`<form class="signing" @submit=${sign}>
    ${byName
      ? html`<label class="form-label" for="sign-name">Type your name just as it stands here: ${name}</label>
          <input class="form-control" id="sign-name" maxlength="120" autocomplete="off" .value=${live(app.drafts.text(typed))} @input=${(/** @type {InputEvent} */ event) => app.drafts.setText(typed, /** @type {HTMLInputElement} */ (event.target).value)}>
          <p class="quiet">The typed name counts as your signature, and the record says that it was typed.</p>`
      : html`<p class="quiet" id="sign-how">${name}, sign with a finger in the box.</p>
          <div class="sign-pad"><sign-box ${ref(box)} label="Box to sign in" @ink=${(/** @type {CustomEvent<boolean>} */ event) => app.drafts.setInk(key, event.detail)}></sign-box></div>
          <div class="btn-row"><button type="button" class="btn btn-quiet" @click=${() => box.value?.clear()}>Clear</button></div>`}
    ${more ?? nothing}
    ${refusal ? html`<p class="refusal" role="alert">${refusal}</p>` : nothing}
    <div class="btn-row sign-row">
      <button class="btn btn-primary" ?disabled=${app.drafts.busy(key)}>${words}</button>
      <button type="button" class="btn btn-quiet" @click=${change}>${byName ? "Sign with a finger" : "Sign without drawing"}</button>
    </div>
  </form>`;
}
