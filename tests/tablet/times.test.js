import assert from "node:assert/strict";
import { test } from "node:test";

import { bytesWords } from "#tablet/parts/amounts.js";
import { agoWords, calendarDay, clockTime, counted, dayTime, dayWords, isOld, spanWords } from "#tablet/parts/times.js";

const VERMONT = "America/New_York";
const NOW = new Date("2026-11-25T16:00:00Z");
const before = (/** @type {number} */ minutes) => new Date(NOW.getTime() - minutes * 60_000).toISOString();

test("times stand on the clock of the house, whatever the tablet's zone", () => {
  assert.equal(clockTime("2026-11-25T13:05:00Z", VERMONT), "8:05 AM");
  assert.equal(dayTime("2026-11-25T13:05:00Z", "Europe/London"), "25 Nov 2026, 1:05 PM");
  // Late on Tuesday in Vermont is Wednesday in London.
  assert.equal(calendarDay(new Date("2026-11-25T03:00:00Z"), VERMONT), "2026-11-24");
  assert.equal(calendarDay(new Date("2026-11-25T03:00:00Z"), "Europe/London"), "2026-11-25");
});

test("a clock that is put back has no day of its own", () => {
  // IANA time zones: America/New_York goes from 2 AM EDT to 1 AM EST on 1 November 2026.
  assert.equal(clockTime("2026-11-01T05:30:00Z", VERMONT), "1:30 AM");
  assert.equal(clockTime("2026-11-01T06:30:00Z", VERMONT), "1:30 AM");
  assert.equal(calendarDay(new Date("2026-11-02T04:59:00Z"), VERMONT), "2026-11-01");
});

test("days near today are called by what they are", () => {
  assert.equal(dayWords("2026-11-25", "2026-11-25"), "Today, 25 Nov");
  assert.equal(dayWords("2026-12-01", "2026-11-30"), "Tomorrow, 1 Dec");
  assert.equal(dayWords("2026-11-27", "2026-11-25"), "Friday, 27 Nov");
});

test("how long ago something was fetched is told in round words", () => {
  assert.equal(agoWords(before(0.5), NOW), "just now");
  assert.equal(agoWords(before(1), NOW), "1 minute ago");
  assert.equal(agoWords(before(59), NOW), "59 minutes ago");
  assert.equal(agoWords(before(125), NOW), "2 hours ago");
  assert.equal(agoWords(before(3 * 24 * 60), NOW), "3 days ago");
  // A clock that was put right leaves a moment ahead of now.
  assert.equal(agoWords(before(-30), NOW), "just now");
});

test("what was fetched a day ago is marked as old", () => {
  assert.equal(isOld(before(24 * 60 - 1), NOW), false);
  assert.equal(isOld(before(24 * 60), NOW), true);
});

test("spans, counts and bytes are told as people say them", () => {
  assert.equal(spanWords(-90_000), "90 seconds");
  assert.equal(spanWords(24 * 3_600_000), "24 hours");
  assert.equal(counted(1, "stage"), "1 stage");
  assert.equal(counted(0, "stage"), "0 stages");
  assert.deepEqual([0, 999, 1000, 34_000, 2_450_000, 999_600_000, 11e9].map(bytesWords),
    ["0 bytes", "999 bytes", "1.0 kB", "34 kB", "2.5 MB", "1.0 GB", "11 GB"]);
});
