/** A line to the real office on which everything goes wrong, as often as it is told to. */
import { request as httpRequest } from "node:http";
import { setTimeout as pause } from "node:timers/promises";

/** @typedef {import("./chance.js").Chance} Chance */
/** @typedef {{address: string, init: RequestInit}} Sent */

/** How often each fault comes, against the others. */
const FAULTS = {
  never_sent: 4,
  answer_lost: 5,
  answer_cut: 3,
  upload_cut: 3,
  proxy_before: 3,
  proxy_after: 3,
  hotspot: 1,
  slow: 3,
  too_slow: 2,
  twice: 4,
  late_twin: 3,
  delayed: 3,
  part_changed: 1,
  signed_out: 1,
  another_person: 1,
};
/** @typedef {keyof typeof FAULTS} FaultName */

const DECK = /** @type {FaultName[]} */ (Object.entries(FAULTS).flatMap(([name, count]) => Array(count).fill(name)));

export class RoughLine {
  #chance;
  #sessions;
  #token = "";
  /** @type {"own" | "other" | "none"} Who is signed in on this tablet */
  #signedIn = "own";
  /** Requests until somebody signs in again. */
  #signsInAfter = 0;
  /** @type {{after: number, sent: Sent}[]} What arrives later */
  #underWay = [];
  /** @type {Record<string, number>} */
  faults = {};
  requests = 0;
  rate;

  /**
   * @param {Chance} chance
   * @param {{own: string, other: string}} sessions
   * @param {number} rate Share of the requests that meet a fault
   */
  constructor(chance, sessions, rate) {
    this.#chance = chance;
    this.#sessions = sessions;
    this.rate = rate;
  }

  get token() {
    return this.#token;
  }

  /** No more faults; what was under way arrives, and the tablet's own person is signed in. */
  async calm() {
    this.rate = 0;
    this.#signedIn = "own";
    for (const { sent } of this.#underWay.splice(0)) await this.#through(sent, "own");
  }

  /** @type {typeof globalThis.fetch} */
  fetch = async (address, init = {}) => {
    const sent = { address: String(address), init };
    await this.#timePasses();
    if (!this.#chance.happens(this.rate)) return this.#through(sent);
    const name = this.#chance.pick(DECK);
    if (name === "part_changed" && init.method !== "PATCH") return this.#through(sent);
    if (name === "upload_cut" && !init.body) return this.#through(sent);
    this.faults[name] = (this.faults[name] ?? 0) + 1;
    return this.#faulty(name, sent);
  };

  async #timePasses() {
    if (this.#signedIn !== "own" && (this.#signsInAfter -= 1) <= 0) this.#signedIn = "own";
    for (const one of this.#underWay) one.after -= 1;
    const arriving = this.#underWay.filter(({ after }) => after <= 0);
    this.#underWay = this.#underWay.filter(({ after }) => after > 0);
    for (const { sent } of arriving) await this.#through(sent, "own");
  }

  /**
   * @param {FaultName} name
   * @param {Sent} sent
   * @returns {Promise<Response>}
   */
  async #faulty(name, sent) {
    switch (name) {
      case "never_sent":
        throw new TypeError("fetch failed");
      case "answer_lost":
        await this.#through(sent);
        throw new TypeError("fetch failed");
      case "answer_cut":
        return cutShort(await this.#through(sent));
      case "upload_cut":
        await this.#halfOf(sent);
        throw new TypeError("fetch failed");
      case "proxy_before":
        return proxy(this.#chance);
      case "proxy_after":
        await this.#through(sent);
        return proxy(this.#chance);
      case "hotspot":
        return new Response("<h1>Welcome to the inn</h1>", { status: 200, headers: { "Content-Type": "text/html" } });
      case "slow":
        await pause(this.#chance.between(1, 20));
        return this.#through(sent);
      case "too_slow":
        await this.#through(sent);
        throw new DOMException("Too slow", "TimeoutError");
      case "twice":
        return (await Promise.all([this.#through(sent), this.#through(sent)]))[this.#chance.between(0, 1)];
      case "late_twin":
        this.#arrivesLater(sent);
        return this.#through(sent);
      case "delayed":
        this.#arrivesLater(sent);
        throw new DOMException("Too slow", "TimeoutError");
      case "part_changed":
        return this.#through({ ...sent, init: { ...sent.init, body: changed(sent.init.body) } });
      case "signed_out":
      case "another_person":
        this.#signedIn = name === "signed_out" ? "none" : "other";
        this.#signsInAfter = this.#chance.between(1, 4);
        return this.#through(sent);
    }
  }

  /** @param {Sent} sent */
  #arrivesLater(sent) {
    this.#underWay.push({ after: this.#chance.between(1, 12), sent });
  }

  /**
   * @param {Sent} sent
   * @param {"own" | "other" | "none"} [signedIn]
   */
  async #through({ address, init }, signedIn = this.#signedIn) {
    this.requests += 1;
    const response = await fetch(address, { ...init, headers: this.#headers(init, signedIn), signal: undefined });
    for (const cookie of response.headers.getSetCookie()) this.#token = /^csrftoken=([^;]+)/.exec(cookie)?.[1] ?? this.#token;
    // Read now, so that an answer nobody reads holds no connection.
    const body = await response.arrayBuffer();
    const empty = response.status === 304 || response.status === 204;
    return new Response(empty ? null : body, { status: response.status, headers: response.headers });
  }

  /**
   * @param {RequestInit} init
   * @param {"own" | "other" | "none"} signedIn
   */
  #headers(init, signedIn) {
    const cookies = [`csrftoken=${this.#token}`];
    if (signedIn !== "none") cookies.push(`sessionid=${this.#sessions[signedIn]}`);
    return { ...Object.fromEntries(new Headers(init.headers)), Cookie: cookies.join("; ") };
  }

  /** Send half of what was to be sent, and hang up. @param {Sent} sent */
  async #halfOf({ address, init }) {
    const body = Buffer.from(typeof init.body === "string" ? init.body : new Uint8Array(/** @type {ArrayBuffer} */ (init.body)));
    const headers = { ...this.#headers(init, this.#signedIn), "Content-Length": String(body.length) };
    await new Promise((resolve) => {
      const asked = httpRequest(address, { method: init.method, headers, agent: false });
      asked.on("error", resolve);
      asked.on("close", resolve);
      asked.write(body.subarray(0, Math.floor(body.length / 2)), () => asked.destroy());
    });
  }
}

/** @param {Chance} chance */
function proxy(chance) {
  return new Response("<h1>Sorry</h1>", { status: chance.pick([500, 502, 503, 504, 429]) });
}

/** @param {Response} whole */
function cutShort(whole) {
  const { status, headers } = whole;
  if (status === 304) return whole;
  const body = new ReadableStream({
    async start(controller) {
      const bytes = new Uint8Array(await whole.arrayBuffer());
      controller.enqueue(bytes.subarray(0, bytes.length >> 1));
      controller.error(new TypeError("terminated"));
    },
  });
  return new Response(body, { status, headers });
}

/** @param {any} body */
function changed(body) {
  const bytes = new Uint8Array(body.slice(0));
  bytes[bytes.length >> 1] ^= 1;
  return bytes;
}
