/**
 * Where somebody is in the app, and the address of it. The part behind the # never reaches the server.
 *
 * @typedef {"jobs" | "job" | "plan" | "stage" | "record" | "unsent" | "tablet"} PlaceName
 * @typedef {{name: PlaceName, job: number, stage: string, item: string}} Place
 */

const NUMBER = /^[0-9]{1,15}$/;
const KEY = /^[A-Za-z0-9_-]{1,80}$/;

/** @type {Place} */
const START = { name: "jobs", job: 0, stage: "", item: "" };

/**
 * Return the place an address names; the list of jobs for one that names none.
 * @param {string} hash
 * @returns {Place}
 */
export function placeAt(hash) {
  const [first = "", second = "", third = "", fourth = "", fifth = ""] = hash.replace(/^#?\/?/, "").split("/");
  if (first === "not-sent") return { ...START, name: "unsent" };
  if (first === "this-tablet") return { ...START, name: "tablet" };
  if (first !== "job" || !NUMBER.test(second)) return { ...START };
  const job = Number(second);
  if (third === "plan") return { ...START, name: "plan", job };
  if (third === "record") return { ...START, name: "record", job };
  if (third === "stage" && KEY.test(fourth)) {
    return { name: "stage", job, stage: fourth, item: KEY.test(fifth) ? fifth : "" };
  }
  return { ...START, name: "job", job };
}

export const JOBS = "#/";
export const UNSENT = "#/not-sent";
export const THIS_TABLET = "#/this-tablet";

/** @param {number} job */
export function jobAddress(job) {
  return `#/job/${job}`;
}

/** @param {number} job */
export function planAddress(job) {
  return `#/job/${job}/plan`;
}

/** @param {number} job */
export function recordAddress(job) {
  return `#/job/${job}/record`;
}

/**
 * @param {number} job
 * @param {string} stage
 * @param {string} [item]
 */
export function stageAddress(job, stage, item) {
  return `#/job/${job}/stage/${stage}${item ? `/${item}` : ""}`;
}
