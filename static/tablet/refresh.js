/** The jobs and their bundles, fetched anew. */
import { ApiError } from "#tablet/api_error.js";
import { deviceTime } from "#tablet/clock.js";

/**
 * Fetch the list of jobs and what changed in their bundles; drop what is no longer on the list.
 *
 * @param {object} told
 * @param {import("#tablet/store.js").Store} told.store
 * @param {import("#tablet/api.js").Api} told.api
 * @param {() => Date} told.now
 * @param {() => boolean} told.interrupted Whether something more urgent waits
 * @returns {Promise<boolean>} Whether everything was fetched
 */
export async function refreshBundles({ store, api, now, interrupted }) {
  const list = await api.jobs();
  const jobs = list.jobs.map(({ job }) => job);
  await store.setFact("jobs", { ...list, fetched_at: deviceTime(now()) });
  for (const job of await inUrgency(store, jobs)) {
    if (interrupted()) return false;
    await refreshBundle({ store, api, now, job });
  }
  await store.dropBundles(jobs);
  return true;
}

/**
 * Fetch one bundle if it has changed.
 *
 * @param {object} told
 * @param {import("#tablet/store.js").Store} told.store
 * @param {import("#tablet/api.js").Api} told.api
 * @param {() => Date} told.now
 * @param {number} told.job
 */
export async function refreshBundle({ store, api, now, job }) {
  const there = await store.bundle(job);
  // Asked before the server is: it knew of every one of these when it made its answer.
  const holds = (await store.receipts(job)).map(({ entry }) => entry);
  let fetched;
  try {
    fetched = await api.bundle(job, there?.etag);
  } catch (error) {
    if (error instanceof ApiError && error.code === "no_such_job") return;
    throw error;
  }
  const fetched_at = deviceTime(now());
  if (fetched) await store.keepBundle({ job, fetched_at, ...fetched }, holds);
  else if (there) await store.keepBundle({ ...there, fetched_at }, holds);
}

/**
 * First the jobs that have no bundle yet, then those with receipts, then the others.
 *
 * @param {import("#tablet/store.js").Store} store
 * @param {number[]} jobs
 */
async function inUrgency(store, jobs) {
  const here = new Set((await store.bundles()).map(({ job }) => job));
  /** @type {number[][]} */
  const ranks = [[], [], []];
  for (const job of jobs) {
    const rank = !here.has(job) ? 0 : (await store.receipts(job)).length ? 1 : 2;
    ranks[rank].push(job);
  }
  return ranks.flat();
}
