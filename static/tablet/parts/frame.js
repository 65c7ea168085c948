/** What stands round every page: the bar above, notices, and the way on below, within reach of the thumb. */
import { html, nothing } from "lit-html";
import { bar } from "#tablet/parts/bar.js";

/** @typedef {import("#tablet/app.js").App} App */

/**
 * @typedef {object} Page
 * @property {string} title Of the window
 * @property {unknown} heading
 * @property {unknown} [sign] Beside the heading
 * @property {{address: string, words: string} | null} [back]
 * @property {unknown} [main] The one thing to do next, at the bottom
 * @property {unknown} content
 */

/**
 * @param {App} app
 * @param {Page} page
 */
export function frame(app, page) {
  return html`${bar(app)}
    <main id="content" class="page" tabindex="-1">
      ${notices(app)}
      <header class="page-head"><h1>${page.heading}</h1><div class="page-actions">${page.sign ?? nothing}</div></header>
      ${page.content}
    </main>
    ${thumb(page)}`;
}

/** @param {Page} page */
function thumb({ back, main }) {
  if (!back && !main) return nothing;
  return html`<nav class="thumb" aria-label="Way on">
    ${back ? html`<a class="btn btn-quiet thumb-back" href=${back.address}>‹ ${back.words}</a>` : html`<span></span>`}
    ${main ?? nothing}
  </nav>`;
}

/** @param {App} app */
function notices(app) {
  return html`${app.trouble ? html`<div class="message" data-level="error" role="alert">${app.trouble}</div>` : nothing}
    ${app.signedOut && app.person ? signedOut(app) : nothing}
    ${app.otherPerson ? otherPerson(app, app.otherPerson) : nothing}
    ${app.newVersion ? newVersion(app) : nothing}`;
}

/** @param {App} app */
function signedOut(app) {
  return html`<div class="message notice" data-level="warning">
    <p><strong>You are signed out.</strong> You can go on working: everything is kept on this tablet and sent once you have signed in again as ${app.person?.name}.</p>
    <a class="btn btn-quiet" href=${app.signInAddress}>Sign in</a>
  </div>`;
}

/**
 * @param {App} app
 * @param {import("#tablet/types.js").Person} other
 */
function otherPerson(app, other) {
  return html`<div class="message notice" data-level="warning">
    <p><strong>${other.name} is signed in with this browser.</strong> What ${app.person?.name} entered stays on this tablet and is sent when ${app.person?.name} signs in again.</p>
    <button type="button" class="btn btn-quiet" @click=${() => app.takeOver(other)}>Go on as ${other.name}</button>
  </div>`;
}

/** @param {App} app */
function newVersion(app) {
  return html`<div class="message notice" data-newer>
    <p><strong>A newer version is ready.</strong> ${app.drafts.any() ? "Save what you have typed, then take it." : "Taking it needs a moment. What is not sent yet stays."}</p>
    <button type="button" class="btn btn-quiet" ?disabled=${app.drafts.any()} @click=${() => app.takeNewVersion()}>Take it now</button>
  </div>`;
}
