/** The bar that is always in sight: signal, what is not sent yet, who works here. */
import { html, nothing } from "lit-html";
import { JOBS, THIS_TABLET, UNSENT } from "#tablet/places.js";
import { agoWords, isOld, spanWords } from "#tablet/parts/times.js";

/** @typedef {import("#tablet/app.js").App} App */

const ROLES = { owner: "Owner", office: "Office", installer: "Installer", inspector: "Inspector" };

/** @param {App} app */
export function bar(app) {
  const phase = phaseOf(app);
  const count = app.shift ? app.shift.unsent : 0;
  return html`<header class="bar tablet-bar" data-phase=${phase}>
    <a class="bar-mark" href=${JOBS} aria-label="Jobs"><img src=${app.mark} alt="" width="28" height="28"><span>Jobs</span></a>
    <div class="bar-state">
      <span class="signal" data-phase=${phase}>${phaseWords(app, phase)}</span>
      ${fetched(app)}
    </div>
    ${app.shift
      ? html`<a class="bar-unsent" href=${UNSENT} data-unsent=${count}>${count ? `Not sent yet: ${count}` : "Everything is sent"}</a>`
      : nothing}
    ${app.person
      ? html`<a class="bar-who" href=${THIS_TABLET}><span>${app.person.name}</span><small>${ROLES[app.person.role]}</small></a>`
      : nothing}
    ${phase === "sending" ? progress(app) : nothing}
  </header>`;
}

/**
 * @param {App} app
 * @returns {string} idle | sending | waiting | offline | signed_out | another_person
 */
export function phaseOf(app) {
  if (app.signedOut) return "signed_out";
  if (app.otherPerson) return "another_person";
  if (!app.online) return "offline";
  return app.shift?.syncState.phase ?? "idle";
}

/**
 * @param {App} app
 * @param {string} phase
 */
function phaseWords(app, phase) {
  const state = app.shift?.syncState;
  if (phase === "sending") return state && state.total ? `Sending ${state.sent} of ${state.total}` : "Sending";
  if (phase === "signed_out") return "Signed out";
  if (phase === "another_person") return "Somebody else is signed in";
  if (phase === "offline") return "No signal";
  if (phase === "waiting") {
    const left = state?.nextTryAt ? new Date(state.nextTryAt).getTime() - app.now().getTime() : 0;
    return left > 1000 ? `Tries again in ${spanWords(left)}` : "Tries again";
  }
  return "Signal";
}

/** @param {App} app */
function fetched(app) {
  const at = app.shift?.fetchedAt(app.place.job);
  if (!at) return nothing;
  const now = app.now();
  const old = isOld(at, now);
  return html`<span class="fetched" data-old=${old ? "yes" : "no"}>Fetched ${agoWords(at, now)}${old ? ", may be out of date" : ""}</span>`;
}

/** @param {App} app */
function progress(app) {
  const state = app.shift?.syncState;
  if (!state) return nothing;
  const [value, max] = state.bytesTotal ? [state.bytesSent, state.bytesTotal] : [state.sent, state.total];
  return html`<progress class="bar-progress" max=${Math.max(max, 1)} .value=${value} aria-label="Sending"></progress>`;
}
