import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import { addressOf, call, get, onSignedOut } from "../../app/api/client.js";

/** @type {{ url: string, init: RequestInit }[]} */
const calls = [];
const realFetch = globalThis.fetch;

/**
 * Answer every call with one response.
 * @param {() => Response} answer
 */
function answering(answer) {
  calls.length = 0;
  globalThis.fetch = /** @type {typeof fetch} */ (async (url, init) => {
    calls.push({ url: String(url), init: init ?? {} });
    return answer();
  });
}

afterEach(() => {
  globalThis.fetch = realFetch;
});

const json = (/** @type {unknown} */ body, /** @type {ResponseInit} */ init = {}) => new Response(JSON.stringify(body), init);

test("a read carries no unsafe header and gives back body and ETag", async () => {
  answering(() => json({ id: "x" }, { headers: { ETag: '"7"' } }));
  const answer = await get("/households/x");
  assert.deepEqual(answer, { data: { id: "x" }, etag: '"7"', status: 200 });
  assert.equal(calls[0].url, "/api/v1/households/x");
  assert.equal(Reflect.has(calls[0].init.headers ?? {}, "X-Requested-By"), false);
});

test("a change carries the guard header, If-Match and its key", async () => {
  answering(() => json({}, { status: 201 }));
  await call("POST", "/x", { body: { a: 1 }, etag: '"3"', key: "k" });
  const headers = /** @type {Record<string, string>} */ (calls[0].init.headers);
  assert.equal(headers["X-Requested-By"], "plugward");
  assert.equal(headers["If-Match"], '"3"');
  assert.equal(headers["Idempotency-Key"], "k");
  assert.equal(calls[0].init.body, '{"a":1}');
});

test("a CSV body is sent as it is", async () => {
  answering(() => json({}));
  await call("PUT", "/x", { csv: "starts_at\n" });
  assert.equal(calls[0].init.body, "starts_at\n");
  assert.equal(/** @type {Record<string, string>} */ (calls[0].init.headers)["Content-Type"], "text/csv");
});

test("an answer without content is null", async () => {
  answering(() => new Response(null, { status: 204 }));
  assert.equal((await call("DELETE", "/x")).data, null);
});

test("a problem is thrown with its fields and the seconds to wait", async () => {
  answering(() => json({ title: "Rejected", status: 422, errors: [{ pointer: "/miles", detail: "Too far." }] }, { status: 422, headers: { "Retry-After": "30" } }));
  await assert.rejects(get("/x"), (/** @type {any} */ problem) => {
    assert.equal(problem.status, 422);
    assert.deepEqual(problem.errors, [{ field: "miles", detail: "Too far." }]);
    assert.equal(problem.retryAfterS, 30);
    return true;
  });
});

test("an answer that is no JSON is a problem with the status of the wire", async () => {
  answering(() => new Response("<html>", { status: 502, statusText: "Bad Gateway" }));
  await assert.rejects(get("/x"), { status: 502, title: "Bad Gateway" });
});

test("no answer at all is a problem with status 0", async () => {
  globalThis.fetch = /** @type {typeof fetch} */ (async () => {
    throw new TypeError("Failed to fetch");
  });
  await assert.rejects(get("/x"), { status: 0 });
});

test("a session that is over is announced, but not by the question who is signed in", async () => {
  let count = 0;
  onSignedOut(() => {
    count += 1;
  });
  answering(() => json({}, { status: 401 }));
  await assert.rejects(get("/session"));
  assert.equal(count, 0);
  await assert.rejects(get("/households"));
  assert.equal(count, 1);
});

test("empty query values are left out, nought is kept", () => {
  assert.equal(addressOf("/x", { a: "", b: null, c: undefined, d: 0, e: false, f: "p q" }), "/api/v1/x?d=0&e=false&f=p+q");
});
