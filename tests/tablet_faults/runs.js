/**
 * Runs of the tablet's real modules against the real server, each from a seed of its own.
 *
 * What to run comes in as JSON, what came of it goes out as JSON: tests/tablet_faults/test_nothing_is_lost.py asks.
 */
import { readFileSync, writeFileSync } from "node:fs";
import { Chance } from "./chance.js";
import { Installer } from "./installer.js";
import { MortalTablet } from "./mortal_tablet.js";
import { RoughLine } from "./rough_line.js";

/** @typedef {import("#tablet/types.js").Person} Person */
/**
 * @typedef {object} Run
 * @property {number} seed
 * @property {number} job
 * @property {{person: Person, session: string}[]} crew One tablet for each
 */

/** Far more than it takes, in milliseconds: who is not through by then is stuck. */
const PATIENCE = 60_000;
const PAUSED = new Set(["signed_out", "another_person"]);
const AT_ONCE = 6;

/** @type {{base: string, stranger: string, rate: number, seconds: number | null, runs: Run[]}} */
const told = JSON.parse(readFileSync(0, "utf8"));

/** @param {Run} run */
async function go({ seed, job, crew }) {
  const chance = new Chance(seed);
  const steps = chance.between(6, 20);
  const results = await Promise.all(crew.map((one) => tabletAtWork(one, job, steps, new Chance(chance.seed()))));
  return { seed, job, tablets: results };
}

/**
 * @param {Run["crew"][number]} whose
 * @param {number} job
 * @param {number} steps
 * @param {Chance} chance
 */
async function tabletAtWork({ person, session }, job, steps, chance) {
  const sessions = { own: session, other: told.stranger };
  const line = new RoughLine(new Chance(chance.seed()), sessions, 0);
  const tablet = new MortalTablet({ chance: new Chance(chance.seed()), line, base: told.base, person });
  await tablet.open();
  // The morning, with a signal: the jobs come on the tablet.
  await until(tablet, async () => Boolean(await tablet.store.bundle(job)));
  line.rate = told.rate;
  const installer = new Installer(tablet, job, new Chance(chance.seed()));
  await installer.work(steps);
  // Back at the road, on a line no better for a while; then nothing more goes wrong, and everything must get through.
  const sent = async () => tablet.sync.state.phase === "idle" && (await tablet.store.counts()).waiting === 0;
  await until(tablet, sent);
  await tablet.spare();
  await line.calm();
  const through = await until(tablet, sent);
  const left = (await tablet.store.entries()).map(({ entry, state, refusal }) => ({ entry, state, ...refusal }));
  const { phase, sentence } = tablet.sync.state;
  await tablet.close();
  return {
    device: tablet.device, person: person.id, through, state: `${phase} ${sentence}`, left, kills: tablet.kills,
    faults: line.faults, requests: line.requests, appFaults: tablet.faults.map(String),
    saved: installer.saved.map(({ entry, seq, kind, stage, item, photo, device }) =>
      ({ entry, seq, kind, stage, item, device, sha256: photo?.sha256 ?? "" })),
  };
}

/**
 * Wait until something is so; a loop that is paused is poked, as its person does after signing in.
 *
 * @param {MortalTablet} tablet
 * @param {() => Promise<boolean>} so
 */
async function until(tablet, so) {
  for (const end = Date.now() + PATIENCE; Date.now() < end;) {
    if ((await tablet.during(so)) === true) return true;
    if (PAUSED.has(tablet.sync.state.phase)) tablet.sync.poke();
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
  return false;
}

/** @type {unknown[]} */
const done = [];
const waiting = [...told.runs];
const end = Date.now() + 1000 * (told.seconds ?? Infinity);
await Promise.all(Array.from({ length: AT_ONCE }, async () => {
  for (let run = waiting.shift(); run && Date.now() < end; run = waiting.shift()) done.push(await go(run));
}));
writeFileSync(1, JSON.stringify(done));
