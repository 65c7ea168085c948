/** What is not sent yet: every entry in words, what the server did not take, and a file of it for the office. */
import { html, nothing } from "lit-html";
import { repeat } from "lit-html/directives/repeat.js";
import { JOBS } from "#tablet/places.js";
import { entryAddress, entryWords } from "#tablet/parts/entry_words.js";
import { storageWords } from "#tablet/pages/tablet.js";
import { clockTime, counted, dayTime } from "#tablet/parts/times.js";

/** @typedef {import("#tablet/app.js").App} App */
/** @typedef {import("#tablet/shift.js").Shift} Shift */
/** @typedef {import("#tablet/types.js").Entry} Entry */

/** @param {App} app */
export function unsentPage(app) {
  const shift = /** @type {Shift} */ (app.shift);
  const { entries } = shift;
  return {
    title: "Not sent yet",
    heading: entries.length ? `Not sent yet: ${entries.length}` : "Everything is sent",
    back: { address: JOBS, words: "Jobs" },
    main: entries.length
      ? html`<button type="button" class="btn btn-primary go-on" data-send-now @click=${() => shift.sync.poke()}>Send now</button>`
      : nothing,
    content: entries.length ? html`${standing(app, shift)}${byJob(app, shift)}${toFile(app, shift)}` : nothingLeft(),
  };
}

function nothingLeft() {
  return html`<div class="empty"><p>The server has acknowledged everything that was entered on this tablet.</p></div>`;
}

/**
 * @param {App} app
 * @param {Shift} shift
 */
function standing(app, shift) {
  const { sentence, nextTryAt } = shift.syncState;
  const words = app.online ? sentence : "No signal. Everything here is kept and sent by itself where there is one.";
  return html`${words ? html`<div class="message" data-level="warning"><p>${words}${nextTryAt && app.online ? ` Tried again at ${clockTime(nextTryAt, "")}.` : ""}</p></div>` : nothing}
    ${app.storage.persisted === false ? html`<div class="message" data-level="warning"><p>${storageWords(false)}</p></div>` : nothing}`;
}

/**
 * @param {App} app
 * @param {Shift} shift
 */
function byJob(app, shift) {
  const jobs = [...new Set(shift.entries.map((entry) => entry.job))];
  return jobs.map((job) => {
    const bundle = shift.bundles.get(job)?.bundle;
    const words = bundle ? `${bundle.site.customer}, ${bundle.job.number}` : `Job ${job}`;
    const entries = shift.entries.filter((entry) => entry.job === job);
    return html`<section class="panel" aria-label=${words}>
      <div class="panel-head"><h2>${words}</h2></div>
      <ul class="rows unsent-rows">${repeat(entries, (entry) => entry.entry, (entry) => row(app, shift, entry))}</ul>
    </section>`;
  });
}

/**
 * @param {App} app
 * @param {Shift} shift
 * @param {Entry} entry
 */
function row(app, shift, entry) {
  const bundle = shift.bundles.get(entry.job)?.bundle;
  const { what, about } = entryWords(entry, bundle);
  const refused = entry.state === "refused";
  const small = entry.photo ? app.pictures.ofEntry(shift.store, entry.entry) : "";
  return html`<li data-entry=${entry.entry} data-state=${entry.state}>
    ${small ? html`<img class="unsent-photo" src=${small} alt="">` : nothing}
    <div class="grow"><strong>${what}</strong>
      ${about ? html`<div>${about}</div>` : nothing}
      <div class="quiet">${dayTime(entry.taken_at, bundle?.site.time_zone ?? "")}</div></div>
    <span class="lies" data-lies=${refused ? "refused" : "here"}>${refused ? "The server did not take this" : "Saved on this tablet"}</span>
    ${refused ? correcting(app, shift, entry) : nothing}
  </li>`;
}

/**
 * @param {App} app
 * @param {Shift} shift
 * @param {Entry} entry
 */
function correcting(app, shift, entry) {
  const asked = app.asked === entry.entry;
  const key = `refused ${entry.entry}`;
  const told = app.drafts.refusal(key);
  const act = (/** @type {() => Promise<void>} */ work) => async () => {
    app.asked = "";
    await app.drafts.during(key, work);
    app.update();
  };
  const ask = (/** @type {string} */ which) => () => {
    app.asked = which;
    app.update();
  };
  return html`<div class="refused-more">
    <p class="refusal">${entry.refusal?.sentence}</p>
    ${told ? html`<p class="refusal" role="alert">${told}</p>` : nothing}
    ${asked
      ? html`<p><strong>Discard it for good?</strong> It is on no other device.</p>
          <div class="btn-row"><button type="button" class="btn btn-danger" @click=${act(() => shift.store.discardRefused(entry.entry))}>Discard it</button><button type="button" class="btn btn-quiet" @click=${ask("")}>Keep it</button></div>`
      : html`<div class="btn-row"><a class="btn btn-quiet" href=${entryAddress(entry)}>Correct</a><button type="button" class="btn btn-quiet" @click=${act(() => shift.store.sendAgain(entry.entry))}>Send again</button><button type="button" class="btn btn-quiet" @click=${ask(entry.entry)}>Discard</button></div>`}
  </div>`;
}

/**
 * @param {App} app
 * @param {Shift} shift
 */
function toFile(app, shift) {
  const files = app.unsentFiles;
  const told = app.drafts.refusal("export");
  return html`<section class="panel" aria-labelledby="to-file"><div class="panel-body">
    <h2 id="to-file">If it cannot be sent</h2>
    <p>Save it to a file and bring that to the office, by mail, by cable or on a stick. The office brings it in; what has been sent meanwhile is not doubled. Nothing is taken off this tablet.</p>
    ${told ? html`<p class="refusal" role="alert">${told}</p>` : nothing}
    ${files.length
      ? html`<p><strong>${counted(files.length, "file")} made.</strong> Save ${files.length === 1 ? "it" : "each of them"}:</p>
          <div class="btn-row">${files.map(({ name, address }) => html`<a class="btn btn-quiet" href=${address} download=${name}>${name}</a>`)}</div>`
      : html`<div class="btn-row"><button type="button" class="btn btn-quiet" ?disabled=${app.drafts.busy("export")} @click=${() => app.makeUnsentFiles(shift)}>Make a file of it</button></div>`}
  </div></section>`;
}
