/** An office for each test, and tablets that are put away after it. */
import assert from "node:assert/strict";
import { afterEach, beforeEach } from "node:test";
import { FakeOffice } from "./fake_office.js";
import { tabletAt } from "./fake_tablet.js";

/** @typedef {Awaited<ReturnType<typeof tabletAt>>} Tablet */
/** @typedef {import("#tablet/entry_shelf.js").EntryDraft} EntryDraft */

/** @type {FakeOffice} */
export let office;
/** @type {Tablet[]} */
const tablets = [];

beforeEach(() => {
  office = new FakeOffice();
});

afterEach(async () => {
  for (const tablet of tablets.splice(0)) {
    assert.deepEqual(tablet.faults, []);
    await tablet.close();
  }
});

/** @param {Parameters<typeof tabletAt>[1]} [options] */
export async function tabletHere(options) {
  const tablet = await tabletAt(office, options);
  tablets.push(tablet);
  return tablet;
}

/**
 * @param {Tablet} tablet
 * @param {...EntryDraft} drafts
 */
export async function save(tablet, ...drafts) {
  for (const one of drafts) await tablet.store.saveEntry(one);
  return drafts.map(({ entry }) => entry);
}

/** @param {Tablet} tablet */
export async function waitingOn(tablet) {
  return (await tablet.store.entries()).map(({ entry }) => entry);
}

export const posts = () => office.asked.filter(({ method }) => method === "POST").length;
export const patches = () => office.asked.filter(({ method }) => method === "PATCH");
