/** A diary's week, file and odometer against answers of the service. */
import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import { clear, draw, one, settle } from "../dom.js";

const { html } = await import("htm/preact");
const { DiaryWeek, typedDays } = await import("../../app/pages/households/diary_week.js");
const { DiaryImportForm, importWords } = await import("../../app/pages/households/diary_import.js");
const { betweenWords, DiaryOdometer } = await import("../../app/pages/households/diary_odometer.js");
const { session } = await import("../../app/state/session.js");

/** @type {import("../../app/api/types.d.ts").Session} */
const MEMBER = { account: { name: "M", email: "m@x.example" }, scheme: { id: "s", name: "S" }, roles: ["member"], household_id: "h1", demo_mail: false };
session.value = MEMBER;

/** @type {{ method: string, path: string, body: string | null }[]} */
const calls = [];
const realFetch = globalThis.fetch;
/** @param {(method: string, path: string) => Response} answer */
function serving(answer) {
  calls.length = 0;
  globalThis.fetch = /** @type {typeof fetch} */ (async (url, init) => {
    calls.push({ method: init?.method ?? "GET", path: String(url), body: init?.body ? String(init.body) : null });
    return answer(init?.method ?? "GET", String(url));
  });
}
afterEach(() => {
  clear();
  globalThis.fetch = realFetch;
});

const WEEK = Array.from({ length: 7 }, (_, ago) => {
  const on = `2026-11-${25 - ago}`;
  return { on, day: ago === 1 ? { id: "d", on, miles: "46.0" } : null };
});
const type = (/** @type {HTMLInputElement} */ field, /** @type {string} */ value) => {
  field.value = value;
  field.dispatchEvent(new Event("input", { bubbles: true }));
};

test("a week is seven fields, the oldest first, and what is kept stands in them", async () => {
  const place = draw(html`<${DiaryWeek} vehicleId="v1" week=${WEEK} onSaved=${() => {}} />`);
  await settle();
  const fields = /** @type {HTMLInputElement[]} */ ([...place.querySelectorAll("input")]);
  assert.deepEqual(fields.map(({ name, value }) => [name.slice(-2), value]), [["19", ""], ["20", ""], ["21", ""], ["22", ""], ["23", ""], ["24", "46"], ["25", ""]]);
  assert.deepEqual(fields.map((field) => field.getAttribute("enterkeyhint")), ["next", "next", "next", "next", "next", "next", "done"]);
  assert.ok(fields.every((field) => field.getAttribute("inputmode") === "decimal"));
});

test("Enter goes on to the next day instead of saving", async () => {
  serving(() => new Response(JSON.stringify({ items: [] }), { status: 201 }));
  const place = draw(html`<${DiaryWeek} vehicleId="v1" week=${WEEK} onSaved=${() => {}} />`);
  await settle();
  const fields = [...place.querySelectorAll("input")];
  fields[0].focus();
  const enter = () => Object.assign(new Event("keydown", { bubbles: true, cancelable: true }), { key: "Enter" });
  const pressed = enter();
  fields[0].dispatchEvent(pressed);
  assert.ok(pressed.defaultPrevented);
  assert.equal(document.activeElement, fields[1]);
  const last = enter();
  fields[6].dispatchEvent(last);
  assert.ok(!last.defaultPrevented);
  assert.equal(calls.length, 0);
});

test("only the days that somebody typed are sent, in one save", async () => {
  serving(() => new Response(JSON.stringify({ items: [] }), { status: 201 }));
  let savings = 0;
  const place = draw(html`<${DiaryWeek} vehicleId="v1" week=${WEEK} onSaved=${() => (savings += 1)} />`);
  await settle();
  type(one(place, "input[name='2026-11-25']"), "12,5");
  type(one(place, "input[name='2026-11-19']"), "0");
  await settle();
  one(place, "form").dispatchEvent(new Event("submit", { bubbles: true, cancelable: true }));
  await settle();
  assert.deepEqual(calls.map(({ method, body }) => [method, JSON.parse(String(body))]), [
    ["POST", { days: [{ on: "2026-11-19", miles: "0" }, { on: "2026-11-25", miles: "12.5" }] }],
  ]);
  assert.equal(savings, 1);
});

test("a refusal stands beside the day it speaks of", async () => {
  serving(() => new Response(JSON.stringify({ status: 422, errors: [{ pointer: "#/days/0/miles", detail: "must lie between 0 and 1500 miles" }] }), { status: 422 }));
  const place = draw(html`<${DiaryWeek} vehicleId="v1" week=${WEEK} onSaved=${() => {}} />`);
  await settle();
  type(one(place, "input[name='2026-11-22']"), "9999");
  await settle();
  one(place, "form").dispatchEvent(new Event("submit", { bubbles: true, cancelable: true }));
  await settle();
  assert.equal(one(place, "input[name='2026-11-22']").getAttribute("aria-invalid"), "true");
  assert.match(one(place, ".fault").textContent ?? "", /between 0 and 1500 miles/);
});

test("a day that was emptied, or stands as it stood, is not sent", () => {
  assert.deepEqual(typedDays(WEEK, { "2026-11-24": "46", "2026-11-23": " " }, { "2026-11-24": "46", "2026-11-23": "" }), []);
});

test("a file is looked at before anything is kept", async () => {
  const looked = { days: [{ on: "2026-11-01", miles: "3" }, { on: "2026-11-02", miles: "4" }], new_count: 1, changed_count: 1, is_dry_run: true };
  serving(() => new Response(JSON.stringify(looked)));
  const place = draw(html`<${DiaryImportForm} vehicleId="v1" onSaved=${() => {}} />`);
  await settle();
  const field = /** @type {HTMLInputElement} */ (one(place, "input"));
  Object.defineProperty(field, "files", { value: [{ text: async () => "on,miles\n2026-11-01,3\n2026-11-02,4\n" }] });
  field.dispatchEvent(new Event("change", { bubbles: true }));
  await settle();
  assert.deepEqual(calls.map(({ path }) => path.split("?")[1]), ["is_dry_run=true"]);
  assert.match(place.textContent ?? "", /2 days, from .*: 1 new, 1 with other miles than before, 0 as they are/);
  one(place, "form").dispatchEvent(new Event("submit", { bubbles: true, cancelable: true }));
  await settle();
  assert.deepEqual(calls.map(({ path }) => path.split("?")[1]), ["is_dry_run=true", "is_dry_run=false"]);
  assert.equal(importWords({ ...looked, is_dry_run: false }).includes("1 new"), true);
});

test("the odometer's estimate is named as one", async () => {
  serving(() => new Response(JSON.stringify({
    items: [{ id: "a", read_on: "2026-11-01", miles: "20000" }, { id: "b", read_on: "2026-11-03", miles: "20050" }],
    between: [{ after_on: "2026-11-01", until_on: "2026-11-03", miles: "50", kept_miles: "20", open_day_count: 1, is_less: false }],
    estimated: [{ on: "2026-11-03", miles: "30" }],
  })));
  const place = draw(html`<${DiaryOdometer} vehicleId="v1" today="2026-11-25" />`);
  await settle();
  assert.match(place.textContent ?? "", /Estimated from odometer, not counted anywhere: Tue 3 Nov 30 miles/);
  const between = { after_on: "2026-11-01", until_on: "2026-11-03", miles: "50", kept_miles: "60", open_day_count: 0, is_less: true };
  assert.match(betweenWords(between), /Your diary has more for these days, 60 miles: one of the two is mistyped/);
});
