/** Every job on the tablet, by day: today first. */
import { html, nothing } from "lit-html";
import { repeat } from "lit-html/directives/repeat.js";
import { jobAddress, recordAddress } from "#tablet/places.js";
import { dangersOf } from "#tablet/parts/do_not_use.js";
import { jobSign, stopFlag } from "#tablet/parts/signs.js";
import { calendarDay, clockTime, counted, dayWords } from "#tablet/parts/times.js";

/** @typedef {import("#tablet/app.js").App} App */
/** @typedef {import("#tablet/types.js").KeptBundle} KeptBundle */
/** @typedef {{kept: KeptBundle, day: string, starts: string}} Row */

const TO_SIGN_OFF = "Ready for sign-off";
const EARLIER = "Earlier, not finished";
const NO_DAY = "Without a visit ahead";

/** @param {App} app */
export function jobsPage(app) {
  const groups = grouped([...(app.shift?.bundles.values() ?? [])], app.now());
  return {
    title: "Jobs",
    heading: "Jobs",
    content: groups.length ? groups.map(([words, rows]) => group(app, words, rows)) : empty(app),
  };
}

/** @param {App} app */
function empty(app) {
  return html`<div class="empty"><p>${emptyWords(app)}</p></div>`;
}

/** @param {App} app */
function emptyWords(app) {
  const held = app.shift?.syncState.sentence;
  if (!app.online) return "No job is on this tablet yet. Open this page once where there is a signal; from then on it works without.";
  if (held) return held;
  if (app.fetching) return "Fetching your jobs…";
  return "You have no job today, none in the days ahead, and none unfinished.";
}

/**
 * @param {App} app
 * @param {string} words
 * @param {Row[]} rows
 */
function group(app, words, rows) {
  return html`<section class="panel" aria-label=${words}>
    <div class="panel-head"><h2>${words}</h2></div>
    <ul class="rows job-rows">${repeat(rows, (row) => row.kept.job, (row) => jobRow(app, row))}</ul>
  </section>`;
}

/**
 * @param {App} app
 * @param {Row} row
 */
function jobRow(app, { kept, starts }) {
  const { job, site, may, record } = kept.bundle;
  const view = app.shift?.record(job.id);
  const signed = view?.stages.filter((stage) => stage.signed).length ?? 0;
  const defects = view?.stages.reduce((sum, stage) => sum + stage.openDefects.length, 0) ?? 0;
  const waits = app.shift?.unsentOf(job.id) ?? 0;
  const address = may.sign_off && !may.work ? recordAddress(job.id) : jobAddress(job.id);
  return html`<li data-job=${job.id}>
    ${starts ? html`<span class="job-time num">${clockTime(starts, site.time_zone)}</span>` : nothing}
    <div class="grow">
      <a class="whole" href=${address}>${site.customer}</a>
      <div>${site.address.join(", ")}</div>
      <div class="quiet">${job.kind}, ${job.number}${record || view?.begun ? ` · ${signed} of ${counted(view?.stages.length ?? 0, "stage")} signed` : ""}</div>
    </div>
    <div class="signs">
      ${dangersOf(kept.bundle, view).length ? stopFlag : nothing}
      ${waits ? html`<span class="flag" data-flag="soon">${waits} not sent</span>` : nothing}
      ${defects ? html`<span class="flag">${counted(defects, "defect")} open</span>` : nothing}
      ${jobSign(job, view)}
    </div>
  </li>`;
}

/**
 * @param {KeptBundle[]} bundles
 * @param {Date} now
 * @returns {[string, Row[]][]}
 */
function grouped(bundles, now) {
  /** @type {Map<string, Row[]>} */
  const groups = new Map();
  for (const kept of bundles) {
    const row = rowOf(kept, now);
    const words = groupOf(row, calendarDay(now, kept.bundle.site.time_zone));
    groups.set(words, [...(groups.get(words) ?? []), row]);
  }
  const rank = (/** @type {[string, Row[]]} */ [words, [first]]) =>
    words === TO_SIGN_OFF ? "0" : words === EARLIER ? "2" : words === NO_DAY ? "3" : `1${first.day}`;
  const sorted = [...groups].sort((one, other) => rank(one).localeCompare(rank(other)));
  for (const [, rows] of sorted) {
    rows.sort((one, other) => one.starts.localeCompare(other.starts) || one.kept.job - other.kept.job);
  }
  return sorted;
}

/**
 * The next visit of a job that is not over by a day, else its last one.
 * @param {KeptBundle} kept
 * @param {Date} now
 * @returns {Row}
 */
function rowOf(kept, now) {
  const { visits, site } = kept.bundle;
  const today = calendarDay(now, site.time_zone);
  const days = visits
    .map(({ starts_at: starts }) => ({ starts, day: calendarDay(new Date(starts), site.time_zone) }))
    .sort((one, other) => Date.parse(one.starts) - Date.parse(other.starts));
  const chosen = days.find(({ day }) => day >= today) ?? days.at(-1) ?? { starts: "", day: "" };
  return { kept, ...chosen };
}

/**
 * @param {Row} row
 * @param {string} today
 */
function groupOf({ kept, day }, today) {
  const { job, may } = kept.bundle;
  if (job.status === "ready for sign-off" && may.sign_off) return TO_SIGN_OFF;
  if (!day) return NO_DAY;
  return day < today ? EARLIER : dayWords(day, today);
}
