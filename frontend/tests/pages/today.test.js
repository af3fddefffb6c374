/** The Today page against answers of the service. */
import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import { clear, draw, one, settle } from "../dom.js";
import { clearance, home, plan, stay, vehicle } from "../plans.js";

const { html } = await import("htm/preact");
const { TodayPage } = await import("../../app/pages/planning/today.js");
// Fetched here already, so that no test waits for the part that the page loads later.
await import("../../app/pages/planning/charge_entry.js");
await import("../../app/pages/planning/headline_step.js");
await import("../../app/pages/planning/plan_notes.js");
const { session } = await import("../../app/state/session.js");

/** @type {import("../../app/api/types.d.ts").Session} */
const MEMBER = { account: { name: "M", email: "m@x.example" }, scheme: { id: "s", name: "S" }, roles: ["member"], household_id: "h1", demo_mail: false };
session.value = MEMBER;

/** @type {{ method: string, path: string, body: string }[]} */
const calls = [];

/**
 * Answer calls from a table "GET /plan?is_brief=true" -> answer; the last matching ending wins.
 * @param {Record<string, () => Response>} table
 */
function serving(table) {
  calls.length = 0;
  globalThis.fetch = /** @type {typeof fetch} */ (async (url, init) => {
    const call = { method: init?.method ?? "GET", path: String(url), body: String(init?.body ?? "") };
    calls.push(call);
    const key = Object.keys(table).find((ending) => `${call.method} ${call.path}`.endsWith(ending.split(" ")[1]) && ending.startsWith(call.method));
    if (!key) throw new TypeError(`no answer for ${call.method} ${call.path}`);
    return table[key]();
  });
}

const realFetch = globalThis.fetch;
afterEach(() => {
  clear();
  globalThis.fetch = realFetch;
});

const json = (/** @type {unknown} */ body, /** @type {ResponseInit} */ init = {}) => new Response(JSON.stringify(body), init);
const inHours = (/** @type {number} */ hours) => new Date(Math.ceil(Date.now() / 1_800_000) * 1_800_000 + hours * 3_600_000).toISOString();
const tonight = () => plan([vehicle("Hatchback", [stay([[inHours(1), inHours(3)]], { leaves_at: inHours(9) })])]);

test("the answer, the timer, the cost and the charge reached are shown", async () => {
  serving({ "GET /plan?is_brief=true": () => json(tonight()) });
  const place = draw(html`<${TodayPage} />`);
  await settle();
  assert.match(one(place, ".headline-main").textContent ?? "", /^Plug in by \d\d:\d\d/);
  assert.match(one(place, ".timer-time").textContent ?? "", /^\d\d:\d\d to \d\d:\d\d/);
  const text = place.textContent ?? "";
  for (const part of ["80%", "£0.41", "5 kWh", "Garage, up to 10 A", "as you entered it"]) assert.ok(text.includes(part), part);
});

test("an outlet that must not be used leads the page, and no timer is shown from an older plan", async () => {
  serving({ "GET /plan?is_brief=true": () => json(tonight()), "GET /households/h1?is_brief=true": () => json(home({ clearances: [clearance("do_not_use")] })) });
  const place = draw(html`<${TodayPage} />`);
  await settle();
  assert.equal(one(place, ".headline-main").textContent, "Do not charge at the Garage");
  assert.match(one(place, ".headline").textContent ?? "", /Have it looked at\./);
  assert.equal(one(place, ".headline a").getAttribute("href"), "/outlets");
  assert.equal(place.querySelector(".timer"), null);
});

test("an outlet that is fit to use leaves the answer alone", async () => {
  serving({ "GET /plan?is_brief=true": () => json(tonight()), "GET /households/h1?is_brief=true": () => json(home({ clearances: [clearance("fit_to_use", { limit_a: 10 })] })) });
  const place = draw(html`<${TodayPage} />`);
  await settle();
  assert.match(one(place, ".headline-main").textContent ?? "", /^Plug in by/);
  assert.doesNotMatch(place.textContent ?? "", /could not be read just now/);
});

test("a standing that cannot be read is said, not taken as fit", async () => {
  serving({ "GET /plan?is_brief=true": () => json(tonight()) });
  const place = draw(html`<${TodayPage} />`);
  await settle();
  assert.match(place.textContent ?? "", /could not be read just now/);
});

test("a shortfall gives its cause and the next step", async () => {
  const short = tonight();
  short.vehicles[0].shortfalls = [{ leaves_at: inHours(9), short_kwh: 6.4, short_miles: 23, is_reserve_only: true, cause: "battery_too_small", next_step: "Charge on the way." }];
  serving({ "GET /plan?is_brief=true": () => json(short) });
  const place = draw(html`<${TodayPage} />`);
  await settle();
  const text = one(place, ".note-warn").textContent ?? "";
  for (const part of ["Shortfall", "6.4 kWh", "23 miles", "full battery", "eats into the reserve", "Charge on the way."]) assert.ok(text.includes(part), part);
});

test("without a plan the page says what is missing", async () => {
  serving({ "GET /plan?is_brief=true": () => json({ type: "no-plan-yet", title: "No plan yet", status: 404, detail: "No car is entered." }, { status: 404 }) });
  const place = draw(html`<${TodayPage} />`);
  await settle();
  assert.match(place.textContent ?? "", /There is no plan yet/);
  assert.match(place.textContent ?? "", /No car is entered\./);
});

test("an answer that fails offers to try again", async () => {
  serving({ "GET /plan?is_brief=true": () => json({ status: 503, title: "Busy" }, { status: 503 }) });
  const place = draw(html`<${TodayPage} />`);
  await settle();
  serving({ "GET /plan?is_brief=true": () => json(tonight()) });
  one(place, ".note-stop button").dispatchEvent(new MouseEvent("click", { bubbles: true }));
  await settle();
  assert.match(one(place, ".headline-main").textContent ?? "", /^Plug in by/);
});

test("an entered charge is sent with its ETag, and the new plan is waited for", async () => {
  let hasChanged = false;
  serving({
    "GET /plan?is_brief=true": () => json(hasChanged ? { ...tonight(), id: "p2", energy_kwh: 77 } : tonight()),
    "GET /state_of_charge": () => json({ percent: 40, read_at: null }, { headers: { ETag: '"4"' } }),
    "PUT /state_of_charge": () => json({ percent: 55, read_at: new Date().toISOString() }),
  });
  const place = draw(html`<${TodayPage} />`);
  await settle();
  const input = /** @type {HTMLInputElement} */ (one(place, "input[name=percent]"));
  input.value = "55";
  input.dispatchEvent(new Event("input", { bubbles: true }));
  await settle();
  one(place, "form").dispatchEvent(new Event("submit", { bubbles: true, cancelable: true }));
  await settle();
  assert.equal(calls.find(({ method }) => method === "PUT")?.body, '{"percent":55}');
  assert.match(one(place, ".working-out").textContent ?? "", /Working out the new plan/);
  assert.equal(one(place, ".car-basis").textContent, "Charge now: 55%, as you entered it.");
  hasChanged = true;
  await new Promise((resolve) => setTimeout(resolve, 1_200));
  await settle();
  assert.equal(one(place, ".working-out").textContent, "");
  assert.match(place.textContent ?? "", /77 kWh/);
});
