/** The office's server as the tablet asks it. Every trouble comes out as an ApiError. */
import { noAnswer, notOurs, refusalOf } from "#tablet/api_error.js";
import { deviceTime } from "#tablet/clock.js";
import { digestField } from "#tablet/digests.js";
import { sentForm } from "#tablet/entry_versions.js";
import { resultOf } from "#tablet/store.js";

export { ApiError } from "#tablet/api_error.js";

const PATIENCE = 30_000;

/** @typedef {import("#tablet/types.js").Bundle} Bundle */
/** @typedef {import("#tablet/types.js").Entry} Entry */
/** @typedef {import("#tablet/types.js").Person} Person */
/** @typedef {import("#tablet/entry_shelf.js").EntryResult} EntryResult */
/** @typedef {{offset: number, complete: boolean}} PhotoState */
/**
 * @typedef {object} Me
 * @property {Person & {may_sign_off: boolean}} person
 * @property {{name: string, phone: string}} shop
 * @property {string} server_time
 * @property {number[]} entry_versions
 * @property {string} app
 */
/**
 * @typedef {object} ListedJob
 * @property {number} job
 * @property {string} number
 * @property {string} customer
 * @property {string} address
 * @property {string} kind
 * @property {string} status
 * @property {string} status_words
 * @property {string} day On the house's clock; "" where none is set
 * @property {any[]} visits
 */
/** @typedef {{server_time: string, jobs: ListedJob[]}} JobList */

/**
 * @typedef {object} ApiOptions
 * @property {typeof globalThis.fetch} [fetch]
 * @property {string} [base]
 * @property {number | null} [person] Whose work is sent; null before anybody is known
 * @property {string} device
 * @property {string} app Version of the app's shell
 * @property {() => Date} [now]
 * @property {() => string} [token] The token that shows a request is the page's own
 * @property {(milliseconds: number) => AbortSignal} [timeout]
 */

export class Api {
  #fetch;
  #base;
  /** @type {Record<string, string>} */
  #headers;
  #now;
  #token;
  #timeout;

  /** @param {ApiOptions} options */
  constructor({
    fetch = (...args) => globalThis.fetch(...args),
    base = "/tablet/api/",
    person = null,
    device,
    app,
    now = () => new Date(),
    token = tokenFromCookie,
    timeout = (milliseconds) => AbortSignal.timeout(milliseconds),
  }) {
    this.#fetch = fetch;
    this.#base = base;
    this.#now = now;
    this.#token = token;
    this.#timeout = timeout;
    this.#headers = { "Fluewright-Device": device, "Fluewright-App": app };
    if (person !== null) this.#headers["Fluewright-Person"] = String(person);
  }

  /**
   * Ask who is signed in; this also brings the token for what is sent.
   *
   * @returns {Promise<Me>}
   */
  async me() {
    const me = await this.#json("me");
    if (typeof me?.person?.id !== "number") throw notOurs(200);
    return me;
  }

  /** @returns {Promise<JobList>} */
  async jobs() {
    const list = await this.#json("jobs");
    if (!Array.isArray(list?.jobs)) throw notOurs(200);
    return list;
  }

  /**
   * @param {number} job
   * @param {string} [etag] Of the bundle that is here
   * @returns {Promise<{bundle: Bundle, etag: string} | null>} null: the one that is here is still right
   */
  async bundle(job, etag = "") {
    const { response, said } = await this.#ask(`jobs/${job}/bundle`, { headers: etag ? { "If-None-Match": etag } : {} });
    if (response.status === 304) return null;
    if (said?.job?.id !== job) throw notOurs(response.status);
    return { bundle: said, etag: response.headers.get("ETag") ?? "" };
  }

  /**
   * @param {number} job
   * @param {Entry[]} entries
   * @returns {Promise<EntryResult[]>} What the answer says of entries, whichever it names
   */
  async sendEntries(job, entries) {
    const body = JSON.stringify({ entries: entries.map(sentForm) });
    const headers = { "Content-Type": "application/json" };
    const said = await this.#json(`jobs/${job}/entries`, { method: "POST", headers, body });
    if (!Array.isArray(said?.results)) throw notOurs(200);
    return said.results
      .filter((/** @type {any} */ result) => typeof result?.entry === "string" && typeof result.outcome === "string")
      .map((/** @type {any} */ result) => ({ ...resultOf(result.entry, result.outcome, "", ""), ...result }));
  }

  /**
   * Ask how much of a photo the server has.
   *
   * @param {number} job
   * @param {string} entry
   * @returns {Promise<PhotoState>}
   */
  async photoState(job, entry) {
    return photoStateOf(await this.#json(`jobs/${job}/photos/${entry}`));
  }

  /**
   * @param {number} job
   * @param {string} entry
   * @param {{offset: number, length: number, part: ArrayBuffer, partSha256: string, sha256: string}} sent
   * @returns {Promise<PhotoState>}
   */
  async sendPhotoPart(job, entry, { offset, length, part, partSha256, sha256 }) {
    const headers = {
      "Content-Type": "application/octet-stream",
      "Upload-Offset": String(offset),
      "Upload-Length": String(length),
      "Content-Digest": digestField(partSha256),
      "Repr-Digest": digestField(sha256),
    };
    return photoStateOf(await this.#json(`jobs/${job}/photos/${entry}`, { method: "PATCH", headers, body: part }));
  }

  /**
   * @param {string} path
   * @param {RequestInit} [request]
   */
  async #json(path, request) {
    const { response, said } = await this.#ask(path, request);
    if (!said) throw notOurs(response.status);
    return said;
  }

  /**
   * @param {string} path
   * @param {RequestInit} [request]
   * @returns {Promise<{response: Response, said: any}>}
   */
  async #ask(path, request = {}) {
    /** @type {Record<string, string>} */
    const headers = { Accept: "application/json", ...this.#headers, "Fluewright-Clock": deviceTime(this.#now()) };
    if (request.method) headers["X-CSRFToken"] = this.#token();
    let response;
    let text;
    try {
      response = await this.#fetch(this.#base + path, {
        ...request,
        headers: { ...headers, ...request.headers },
        credentials: "same-origin",
        cache: "no-store",
        redirect: "manual",
        signal: this.#timeout(PATIENCE),
      });
      text = await response.text();
    } catch (error) {
      throw noAnswer(error);
    }
    const said = jsonOf(text);
    if (!response.ok && response.status !== 304) throw refusalOf(response, said);
    return { response, said };
  }
}

/** @param {any} said */
function photoStateOf(said) {
  if (!Number.isSafeInteger(said.offset) || typeof said.complete !== "boolean") throw notOurs(200);
  return { offset: said.offset, complete: said.complete };
}

/**
 * @param {string} text
 * @returns {any} null where it is none
 */
function jsonOf(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function tokenFromCookie() {
  return /(?:^|;\s*)csrftoken=([^;]*)/.exec(document.cookie)?.[1] ?? "";
}
