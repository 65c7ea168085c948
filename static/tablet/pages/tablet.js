/** This tablet: who works on it, what it keeps and how safely, its clock, its version, and signing out. */
import { html, nothing } from "lit-html";
import { JOBS, UNSENT } from "#tablet/places.js";
import { bytesWords } from "#tablet/parts/amounts.js";
import { spanWords } from "#tablet/parts/times.js";

/** @typedef {import("#tablet/app.js").App} App */

const A_MINUTE = 60_000;

/** @param {App} app */
export function tabletPage(app) {
  const unsent = app.shift?.unsent ?? 0;
  return {
    title: "This tablet",
    heading: "This tablet",
    back: { address: JOBS, words: "Jobs" },
    content: html`<section class="panel" aria-label="About this tablet"><div class="panel-body"><dl class="facts">
        <dt>At work</dt><dd>${app.person?.name}</dd>
        ${app.shop ? html`<dt>Shop</dt><dd>${app.shop.name}${app.shop.phone ? html`, <a class="call" href=${`tel:${app.shop.phone.replace(/[^+\d]/g, "")}`}>${app.shop.phone}</a>` : nothing}</dd>` : nothing}
        <dt>Not sent yet</dt><dd>${unsent ? html`<a class="call" href=${UNSENT}>${unsent}</a>` : "Nothing: everything is sent"}</dd>
        <dt>Kept safely</dt><dd>${storageWords(app.storage.persisted)}</dd>
        ${app.storage.quota ? html`<dt>Room</dt><dd>${bytesWords(app.storage.usage)} used of ${bytesWords(app.storage.quota)} this browser allows</dd>` : nothing}
        <dt>Clock</dt><dd>${clockWords(app)}</dd>
        <dt>Version</dt><dd>${app.version}${app.newVersion ? ", a newer one is ready" : ""}</dd>
      </dl></div></section>
      ${leaving(app, unsent)}`,
  };
}

/** @param {boolean | null} persisted */
export function storageWords(persisted) {
  if (persisted) return "Yes: the browser has promised to keep what is on this tablet.";
  if (persisted === null) return "Not asked yet: it is asked once the first job is on the tablet.";
  return "Not promised: if the tablet runs short of room, the browser may clear it. Put this page on the home screen, and send your work each day.";
}

/** @param {App} app */
function clockWords({ skew }) {
  if (skew === null) return "Not compared with the server’s yet";
  if (Math.abs(skew) < A_MINUTE) return "Right";
  const way = skew > 0 ? "ahead of" : "behind";
  return `${spanWords(skew)} ${way} the server’s. Set it right: times you enter are recorded with both.`;
}

/**
 * @param {App} app
 * @param {number} unsent
 */
function leaving(app, unsent) {
  return html`<section class="panel" aria-labelledby="leave"><div class="panel-body">
    <h2 id="leave">Hand the tablet over</h2>
    <p>After signing out, somebody else can sign in. They see and send only what is theirs.
      ${unsent ? html`<strong>What you have not sent yet (${unsent}) stays on this tablet</strong> and is sent when you sign in here again.` : nothing}</p>
    ${app.online ? nothing : html`<p>Without a signal the next one can only sign in where there is one.</p>`}
    <div class="btn-row"><button type="button" class="btn btn-quiet" ?disabled=${app.drafts.any()} @click=${() => app.signOut()}>Sign out</button></div>
    ${app.drafts.any() ? html`<p>Save what you have typed first.</p>` : nothing}
  </div></section>`;
}

