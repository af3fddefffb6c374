/** Habits and the diary against answers of the service. */
import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import { clear, draw, one, settle } from "../dom.js";

const { html } = await import("htm/preact");
const { HabitsForm } = await import("../../app/pages/households/habits_form.js");
const { DiaryDays } = await import("../../app/pages/households/diary_days.js");
const { HouseReadings } = await import("../../app/pages/households/house_readings.js");
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

const HABITS = { swap_times: ["19:00"], need_quantile_permille: 900, yearly_kwh: null, quiet_from: null, quiet_until: null };
const type = (/** @type {HTMLInputElement | HTMLSelectElement} */ field, /** @type {string} */ value, kind = "input") => {
  field.value = value;
  field.dispatchEvent(new Event(kind, { bubbles: true }));
};

test("habits are sent whole, with the state they were read in", async () => {
  serving(() => new Response(JSON.stringify(HABITS), { headers: { ETag: '"3"' } }));
  const place = draw(html`<${HabitsForm} householdId="h1" />`);
  await settle();
  assert.equal(one(place, "select[name=need_quantile_permille] option[value='900']").textContent, "9 days in 10");
  type(one(place, "input[name=swap_2]"), "17:45");
  await settle();
  one(place, "form").dispatchEvent(new Event("submit", { bubbles: true, cancelable: true }));
  await settle();
  const sent = calls.find(({ method }) => method === "PUT");
  assert.equal(sent?.match, '"3"');
  assert.deepEqual(sent?.body, { ...HABITS, swap_times: ["17:45", "19:00"] });
});

test("a refusal of quiet hours stands beside the field that is missing", async () => {
  serving((method) => (method === "PUT"
    ? new Response(JSON.stringify({ status: 422, errors: [{ pointer: "#/quiet_until", detail: "quiet hours need both a beginning and an end" }] }), { status: 422 })
    : new Response(JSON.stringify(HABITS), { headers: { ETag: '"3"' } })));
  const place = draw(html`<${HabitsForm} householdId="h1" />`);
  await settle();
  one(place, "form").dispatchEvent(new Event("submit", { bubbles: true, cancelable: true }));
  await settle();
  assert.equal(one(place, "input[name=quiet_until]").getAttribute("aria-invalid"), "true");
});

test("a day that is kept can be taken out, one that is not can be entered", async () => {
  serving(() => new Response(null, { status: 204 }));
  const shown = [{ on: "2026-11-25", day: null }, { on: "2026-11-24", day: { id: "d7", on: "2026-11-24", miles: "46.0" } }];
  let changes = 0;
  const place = draw(html`<${DiaryDays} vehicleId="v1" shown=${shown} onChange=${() => (changes += 1)} />`);
  await settle();
  const buttons = [...place.querySelectorAll("button")];
  assert.deepEqual(buttons.map((button) => (button.textContent ?? "").trim()), ["Enter Wed 25 Nov", "Change Tue 24 Nov", "Remove Tue 24 Nov"]);
  buttons[2].click();
  await settle();
  assert.deepEqual(calls.map(({ method, path }) => [method, path]), [["DELETE", "/api/v1/households/h1/vehicles/v1/diary/d7"]]);
  assert.equal(changes, 1);
});

test("a meter's file is read without being kept, and kept when that is what it holds", async () => {
  const none = { count: 0, first_at: null, ends_at: null, energy_kwh: 0 };
  const held = { count: 2, first_at: "2026-01-05T00:00:00Z", ends_at: "2026-01-05T01:00:00Z", energy_kwh: 0.6, missing: [] };
  serving((method) => new Response(JSON.stringify(method === "GET" ? none : { ...held, stored_count: calls.at(-1)?.body.is_dry_run ? 0 : 2 })));
  const root = draw(html`<${HouseReadings} householdId="h1" />`);
  await settle();
  const file = /** @type {HTMLInputElement} */ (one(root, "input[type=file]"));
  Object.defineProperty(file, "files", { value: [{ text: async () => "time,kWh\n" }] });
  file.dispatchEvent(new Event("change", { bubbles: true }));
  type(/** @type {HTMLSelectElement} */ (one(root, "select[name=clock]")), "local", "change");
  await settle();
  const press = async () => {
    one(root, "form").dispatchEvent(new Event("submit", { bubbles: true, cancelable: true }));
    await settle();
  };
  await press();
  assert.match(one(root, "[role=status]").textContent ?? "", /2 half-hours.*Nothing is kept yet/s);
  await press();
  const sent = calls.filter(({ method }) => method === "POST").map(({ body }) => [body.clock, body.is_dry_run]);
  assert.deepEqual(sent, [["local", true], ["local", false]]);
  assert.match(one(root, "[role=status]").textContent ?? "", /Kept/);
});
