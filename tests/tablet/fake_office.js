/** The office's server, made up: as idempotent and as strict as the real one, with faults on demand. */
import { createHash } from "node:crypto";

/** @typedef {Record<string, any>} Sent */
/** @typedef {{method: string, path: string, headers: Headers, body: any}} Asked */
/** @typedef {(asked: Asked, answer: () => Promise<Response>) => Promise<Response> | Response} Fault */

const REFUSED_KEY = "refused";

export class FakeOffice {
  person = { id: 7, name: "Ivo Installer", role: "installer", may_sign_off: false };
  signedIn = true;
  token = "token";
  entryVersions = [1, 2];
  /** @type {Set<number>} */
  jobs = new Set([1, 2]);
  /** @type {Map<string, Sent>} Entries the office has taken */
  taken = new Map();
  /** @type {Map<string, Uint8Array>} Whole photos */
  photos = new Map();
  /** @type {Map<string, Uint8Array>} What of others is here */
  parts = new Map();
  /** @type {Asked[]} */
  asked = [];
  /** @type {Sent[][]} */
  batches = [];
  /** @type {Fault[]} One for each of the next requests */
  faults = [];
  /** @type {Fault | null} For every request */
  always = null;
  /** @type {(entry: Sent) => Sent | null} Result of an entry where it is not simply accepted */
  judge = ({ text }) => (text === REFUSED_KEY ? { outcome: "refused", code: "no", sentence: "Enter it again." } : null);
  #revision = 1;

  /** @type {typeof globalThis.fetch} */
  fetch = async (address, init = {}) => {
    const path = new URL(String(address)).pathname.replace("/tablet/api/", "");
    const asked = { method: init.method ?? "GET", path, headers: new Headers(init.headers), body: init.body };
    this.asked.push(asked);
    const answer = async () => this.#answer(asked);
    const fault = this.faults.shift() ?? this.always;
    return fault ? fault(asked, answer) : answer();
  };

  /** @param {Asked} asked */
  async #answer({ method, path, headers, body }) {
    if (!this.signedIn) return json(401, { code: "signed_out", sentence: "You are signed out." });
    if (method !== "GET" && headers.get("X-CSRFToken") !== this.token) {
      return json(403, { code: "token", sentence: "The page is older than your sign-in." });
    }
    if (path === "me") return json(200, this.#me());
    if (headers.get("Fluewright-Person") !== String(this.person.id)) {
      return json(409, { code: "another_person", sentence: `${this.person.name} is signed in on this tablet.` });
    }
    if (path === "jobs") return json(200, { server_time: SERVER_TIME, jobs: [...this.jobs].map((job) => ({ job })) });
    const [, number, noun, entry] = /^jobs\/(\d+)\/([a-z]+)(?:\/(.+))?$/.exec(path) ?? [];
    const job = Number(number);
    if (!this.jobs.has(job)) return json(404, { code: "no_such_job", sentence: "This job is not yours." });
    if (noun === "bundle") return this.#bundle(job, headers);
    if (noun === "entries") return this.#entries(job, JSON.parse(String(body)).entries);
    return method === "GET" ? json(200, this.#photoState(entry)) : this.#part(entry, headers, new Uint8Array(body));
  }

  #me() {
    return { person: this.person, shop: { name: "Ember & Ash", phone: "" }, server_time: SERVER_TIME,
      entry_versions: this.entryVersions, app: "test" };
  }

  /**
   * @param {number} job
   * @param {Headers} headers
   */
  #bundle(job, headers) {
    const answers = [...this.taken.values()].filter((entry) => entry.job === job);
    const etag = `"${job}-${answers.length}-${this.#revision}"`;
    if (headers.get("If-None-Match") === etag) return new Response(null, { status: 304 });
    return json(200, { schema: 1, made_at: SERVER_TIME, job: { id: job }, record: null, answers }, { ETag: etag });
  }

  /**
   * @param {number} job
   * @param {Sent[]} entries
   */
  #entries(job, entries) {
    this.batches.push(entries);
    if (entries.some(({ text }) => text === "unreadable")) {
      return json(422, { code: "not_understood", sentence: "That was not understood." });
    }
    return json(200, { server_time: SERVER_TIME, clock_skew: 0, results: entries.map((one) => this.#take(job, one)) });
  }

  /**
   * @param {number} job
   * @param {Sent} entry
   */
  #take(job, entry) {
    const result = { entry: entry.entry, outcome: "accepted", code: "", sentence: "", verdict: entry.verdict ?? "",
      differs: false, said: entry.text, margin: "", received_at: SERVER_TIME };
    if (this.taken.has(entry.entry)) return result;
    if (entry.kind === "photo" && !this.photos.has(entry.entry)) return { ...result, outcome: "wants_photo" };
    const judged = { ...result, ...this.judge(entry) };
    if (judged.outcome === "accepted" || judged.outcome === "late") this.taken.set(entry.entry, { job, ...entry });
    return judged;
  }

  /** @param {string} entry */
  #photoState(entry) {
    const whole = this.photos.get(entry);
    return whole ? { offset: whole.length, complete: true }
      : { offset: this.parts.get(entry)?.length ?? 0, complete: false };
  }

  /**
   * @param {string} entry
   * @param {Headers} headers
   * @param {Uint8Array} part
   */
  #part(entry, headers, part) {
    if (digest(part) !== headers.get("Content-Digest")) {
      return json(409, { code: "part_broken", sentence: "A part of the photo changed on its way." });
    }
    const there = this.parts.get(entry) ?? new Uint8Array();
    if (Number(headers.get("Upload-Offset")) !== there.length) {
      return json(409, { code: "wrong_offset", sentence: "Go on from there.", offset: there.length });
    }
    const whole = new Uint8Array([...there, ...part]);
    this.parts.set(entry, whole);
    if (whole.length < Number(headers.get("Upload-Length"))) return json(200, this.#photoState(entry));
    this.parts.delete(entry);
    if (digest(whole) !== headers.get("Repr-Digest")) {
      return json(409, { code: "photo_broken", sentence: "The photo did not arrive as it was taken." });
    }
    this.photos.set(entry, whole);
    return json(200, this.#photoState(entry));
  }

  /** Change every bundle. */
  replan() {
    this.#revision += 1;
  }
}

const SERVER_TIME = "2026-05-04T15:00:02Z";

/**
 * @param {number} status
 * @param {unknown} said
 * @param {Record<string, string>} [headers]
 */
export function json(status, said, headers = {}) {
  return new Response(JSON.stringify(said), { status, headers: { "Content-Type": "application/json", ...headers } });
}

/** @param {Uint8Array} bytes */
function digest(bytes) {
  return `sha-256=:${createHash("sha256").update(bytes).digest("base64")}:`;
}

/** @type {Fault} The line is dead: the office hears nothing */
export const neverSent = () => {
  throw new TypeError("fetch failed");
};

/** @type {Fault} The office does it, and the tablet never hears of it */
export const answerLost = (_asked, answer) => answer().then(() => Promise.reject(new TypeError("terminated")));

/**
 * A proxy answers in place of the office.
 *
 * @param {number} status
 * @param {Record<string, string>} [headers]
 * @returns {Fault}
 */
export function proxySays(status, headers = {}) {
  return () => new Response("<h1>Sorry</h1>", { status, headers });
}
