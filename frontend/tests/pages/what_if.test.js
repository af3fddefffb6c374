/** A comparison on screen, against answers of the service. */
import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import { clear, draw, one, settle } from "../dom.js";

const { html } = await import("htm/preact");
const { Comparison } = await import("../../app/pages/planning/what_if/comparison.js");
const { KeptList } = await import("../../app/pages/planning/what_if/kept_list.js");
const { SharedWhatIfs } = await import("../../app/pages/households/shared_what_ifs.js");
const { question } = await import("../../app/state/confirm.js");
const { session } = await import("../../app/state/session.js");

/** @type {import("../../app/api/types.d.ts").Session} */
const MEMBER = { account: { name: "M", email: "m@x.example" }, scheme: { id: "s", name: "S" }, roles: ["member"], household_id: "h1", demo_mail: false };
session.value = MEMBER;

/** @type {{ method: string, path: string, body: any, match: string | null }[]} */
const calls = [];
const realFetch = globalThis.fetch;
/** @param {(method: string, path: string) => Response} answer */
function serving(answer) {
  calls.length = 0;
  globalThis.fetch = /** @type {typeof fetch} */ (async (url, init) => {
    const headers = /** @type {Record<string, string>} */ (init?.headers ?? {});
    calls.push({ method: init?.method ?? "GET", path: String(url), body: init?.body ? JSON.parse(String(init.body)) : null, match: headers["If-Match"] ?? null });
    return answer(init?.method ?? "GET", String(url));
  });
}
afterEach(() => {
  clear();
  globalThis.fetch = realFetch;
});

const SIDE = { cost_pence: "812.5", energy_kwh: 31.2, short_kwh: 2.3, short_departures: 1, night_count: 5 };
/** @type {import("../../app/api/what_if_types.d.ts").WhatIf} */
const KEPT = {
  id: "w1", label: "A charging point", created_at: "2026-11-25T12:00:00+00:00", is_shared: false, changes: {},
  result: {
    starts_at: "2026-11-25T12:00:00+00:00", ends_at: "2026-12-02T00:00:00+00:00", now: SIDE,
    changed: { ...SIDE, cost_pence: null, short_kwh: 0, short_departures: 0 },
    yearly: { saved_pence: null, closed_kwh: 119.6, as_if: "if every week of the year were like this one" },
    notes: ["garage socket is planned as if it were cleared."],
    working: [{ what: "estate, as it is now", inputs: {}, rule: "r", source: "s", result: "31.2 kWh" }],
  },
};

test("both sides stand beside each other with what was taken for granted and the working", () => {
  draw(html`<${Comparison} whatIf=${KEPT} zone="Europe/London" onChange=${() => {}} />`);
  const rows = [...document.querySelectorAll("tbody tr")].map((row) => [...row.children].map((cell) => cell.textContent));
  assert.deepEqual(rows[0], ["Cost", "£8.13", "not known"]);
  assert.deepEqual(rows[2], ["Shortfall", "2.3 kWh", "nothing"]);
  const text = document.body.textContent ?? "";
  assert.match(text, /cost not known, 119\.6 kWh less short/);
  assert.match(text, /as if it were cleared/);
  assert.match(text, /estate, as it is now/);
});

test("nothing is shared before the member has read what will be seen and said yes", async () => {
  serving(() => new Response(JSON.stringify({ ...KEPT, is_shared: true })));
  /** @type {any[]} */
  const told = [];
  const place = draw(html`<${Comparison} whatIf=${KEPT} zone="Europe/London" onChange=${(/** @type {any} */ next) => told.push(next)} />`);
  const button = /** @type {HTMLButtonElement} */ (one(place, "button"));
  button.click();
  await settle();
  assert.match(question.value?.text ?? "", /Not when your cars leave/);
  question.value?.answer(false);
  await settle();
  assert.deepEqual(calls, []);
  button.click();
  await settle();
  question.value?.answer(true);
  await settle();
  assert.deepEqual(calls.map(({ method, body }) => [method, body]), [["POST", { is_shared: true }]]);
  assert.equal(told[0].is_shared, true);
});

test("a kept comparison is deleted in the state it was read in, once confirmed", async () => {
  serving((method) => (method === "GET" ? new Response(JSON.stringify(KEPT), { headers: { ETag: '"7"' } }) : new Response(null, { status: 204 })));
  /** @type {string[]} */
  const gone = [];
  const kept = { data: { items: [KEPT], most: 50 }, etag: null, problem: null, isLoading: false, reload: () => {}, put: () => {} };
  const place = draw(html`<${KeptList} kept=${kept} zone="Europe/London" shownId="w1" onShow=${() => {}} onDeleted=${(/** @type {string} */ id) => gone.push(id)} />`);
  /** @type {HTMLButtonElement} */ (one(place, "button")).click();
  await settle();
  question.value?.answer(true);
  await settle();
  assert.deepEqual(calls.map(({ method, match }) => [method, match]), [["GET", null], ["DELETE", '"7"']]);
  assert.deepEqual(gone, ["w1"]);
});

test("an administrator reads totals", async () => {
  const { id, label, created_at, result } = KEPT;
  serving(() => new Response(JSON.stringify({ items: [{ id, label, created_at, result }] })));
  const place = draw(html`<${SharedWhatIfs} householdId="h1" zone="Europe/London" />`);
  await settle();
  assert.match(calls[0].path, /\/households\/h1\/shared_what_ifs$/);
  const text = one(place, "tbody").textContent ?? "";
  assert.match(text, /A charging point/);
  assert.match(text, /£8\.13 now/);
  assert.match(text, /not known changed/);
});
