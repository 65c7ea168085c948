import assert from "node:assert/strict";
import { test } from "node:test";
import { Api, ApiError } from "#tablet/api.js";
import { deviceTime, wait } from "#tablet/clock.js";
import { DEVICE, draft, IVO, NOW } from "./fake_tablet.js";
import { FakeOffice, json, neverSent, proxySays } from "./fake_office.js";

/** @typedef {import("#tablet/types.js").Entry} Entry */

/**
 * @param {FakeOffice} office
 * @param {{person?: number | null, token?: string}} [options]
 */
function apiAt(office, { person = IVO.id, token = "token" } = {}) {
  return new Api({ fetch: office.fetch, base: "https://office.example/tablet/api/", person, device: DEVICE, app: "9f3",
    now: () => NOW, token: () => token, timeout: () => new AbortController().signal });
}

/** @param {ReturnType<typeof draft>} made @returns {Entry} */
function entryOf(made) {
  return { ...made, seq: 1, state: "waiting", refusal: null, attempts: 0 };
}

/**
 * Return what comes of an answer.
 *
 * @param {import("./fake_office.js").Fault} fault
 * @returns {Promise<ApiError>}
 */
async function errorOf(fault) {
  const office = new FakeOffice();
  office.always = fault;
  return apiAt(office).sendEntries(1, [entryOf(draft())]).then(() => assert.fail("It went through"), (error) => error);
}

test("every request says whose work it is, from which tablet, at what time there, by which app", async () => {
  const office = new FakeOffice();
  await apiAt(office).sendEntries(1, [entryOf(draft())]);
  const [{ method, path, headers }] = office.asked;
  assert.deepEqual([method, path], ["POST", "jobs/1/entries"]);
  assert.equal(headers.get("Fluewright-Person"), "7");
  assert.equal(headers.get("Fluewright-Device"), DEVICE);
  assert.equal(headers.get("Fluewright-App"), "9f3");
  assert.equal(Date.parse(headers.get("Fluewright-Clock") ?? ""), NOW.getTime());
  assert.equal(headers.get("X-CSRFToken"), "token");
});

test("a tablet that does not know anybody yet names nobody", async () => {
  const office = new FakeOffice();
  assert.equal((await apiAt(office, { person: null }).me()).person.name, "Ivo Installer");
  assert.equal(office.asked[0].headers.has("Fluewright-Person"), false);
});

test("a bundle that is here already is not sent again", async () => {
  const api = apiAt(new FakeOffice());
  const first = await api.bundle(1);
  assert.equal(first?.bundle.job.id, 1);
  assert.equal(await api.bundle(1, first?.etag), null);
});

test("a result without its words gets empty ones", async () => {
  const office = new FakeOffice();
  office.always = () => json(200, { results: [{ entry: "a", outcome: "accepted" }, { outcome: "accepted" }, null, 7] });
  const results = await apiAt(office).sendEntries(1, [entryOf(draft())]);
  assert.deepEqual(results.map(({ entry, sentence, differs }) => [entry, sentence, differs]), [["a", "", false]]);
});

test("what the server says comes out as a code, a sentence and what kind of trouble it is", async () => {
  /** @type {[number, string, string][]} */
  const table = [
    [401, "signed_out", "signed_out"], [409, "another_person", "another_person"], [404, "no_such_job", "refused"],
    [409, "not_your_job", "refused"], [422, "not_understood", "refused"], [413, "too_large", "refused"],
    [403, "token", "server"], [403, "not_for_office", "server"], [404, "no_such_address", "server"],
    [400, "cut_off", "server"], [409, "same_again", "server"],
  ];
  for (const [status, code, kind] of table) {
    const error = await errorOf(() => json(status, { code, sentence: "Do this." }));
    assert.ok(error instanceof ApiError);
    assert.deepEqual([error.status, error.code, error.kind], [status, code, kind]);
    if (status !== 401) assert.equal(error.message, "Do this.");
  }
});

test("trouble of the server is trouble of the server whoever says it", async () => {
  for (const status of [408, 429, 500, 502, 503, 504]) {
    const error = await errorOf(proxySays(status, { "Retry-After": "17" }));
    assert.deepEqual([error.kind, error.status, error.retryAfter], ["server", status, 17]);
    assert.match(error.sentence, /stays on this tablet/);
  }
});

test("a hotspot's page is not taken for the office", async () => {
  for (const status of [200, 302, 403, 404, 511]) {
    const error = await errorOf(proxySays(status));
    assert.equal(error.kind, "server", String(status));
  }
  assert.match((await errorOf(proxySays(200))).sentence, /hotspot/);
});

test("an answer that is JSON of something else is not taken for the office", async () => {
  for (const said of [{}, [], null, { results: {} }]) {
    assert.equal((await errorOf(() => json(200, said))).code, "not_ours");
  }
  const office = new FakeOffice();
  office.always = () => json(200, { hello: "world" });
  const api = apiAt(office);
  await assert.rejects(api.me(), { code: "not_ours" });
  await assert.rejects(api.jobs(), { code: "not_ours" });
  await assert.rejects(api.bundle(1), { code: "not_ours" });
  await assert.rejects(api.photoState(1, "a"), { code: "not_ours" });
});

test("no line and a slow line are told apart", async () => {
  const dead = await errorOf(neverSent);
  assert.deepEqual([dead.kind, dead.code], ["offline", "offline"]);
  const slow = await errorOf(() => Promise.reject(new DOMException("Too slow", "TimeoutError")));
  assert.deepEqual([slow.kind, slow.code], ["offline", "timeout"]);
});

test("an answer that is cut off on its way is no answer", async () => {
  const cut = await errorOf(() => new Response(new ReadableStream({
    start(controller) {
      controller.enqueue(new TextEncoder().encode('{"results": ['));
      controller.error(new TypeError("terminated"));
    },
  })));
  assert.equal(cut.kind, "offline");
});

test("the tablet's time is written with its offset", () => {
  assert.equal(deviceTime(NOW, -240), "2026-05-04T11:00:00.000-04:00");
  assert.equal(deviceTime(NOW, 330), "2026-05-04T20:30:00.000+05:30");
  assert.equal(deviceTime(NOW, 0), "2026-05-04T15:00:00.000+00:00");
});

test("a wait ends when somebody wakes it", async () => {
  const wake = new AbortController();
  const waited = wait(Infinity, wake.signal);
  wake.abort();
  await waited;
  await wait(1e9, wake.signal);
  await wait(0, new AbortController().signal);
});
