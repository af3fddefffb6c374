/** Carbon on screen, of a home and of the scheme, against answers of the service. */
import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import { clear, draw, one, settle } from "../dom.js";

const { html } = await import("htm/preact");
const { HomeCarbonPage } = await import("../../app/pages/reporting/home_carbon.js");
const { SchemeCarbonPage } = await import("../../app/pages/reporting/scheme_carbon.js");
const { session } = await import("../../app/state/session.js");
const { adjust } = await import("../../app/state/router.js");

/** @type {import("../../app/api/types.d.ts").Session} */
const MEMBER = { account: { name: "M", email: "m@x.example" }, scheme: { id: "s", name: "S" }, roles: ["member"], household_id: "h1", demo_mail: false };
session.value = MEMBER;

/** @type {import("../../app/api/carbon_types.d.ts").Carbon} */
const CARBON = {
  from_on: "2025-11-25", to_on: "2026-11-25", set_years: [2022, 2025],
  energy: { metered_kwh: 100, stated_kwh: 0, away_kwh: 20, estimated_kwh: 30, total_kwh: 150 },
  told_miles: "90", estimated_miles: "360", electricity_kg: 29.33,
  petrol_cars: [
    { size: "average", emitted_kg: 117.8, saved_kg: 88.5 }, { size: "small", emitted_kg: 103.6, saved_kg: 74.3 },
    { size: "medium", emitted_kg: 126.5, saved_kg: 97.2 }, { size: "large", emitted_kg: null, saved_kg: null },
  ],
  months: [{ month_on: "2026-10-01", energy_kwh: 150, estimated_kwh: 30, miles: "450", electricity_kg: 29.33, petrol_kg: 117.8 }],
  planned_kwh: 31, planned_kg: 6.1,
  notes: ["2025 set used for charging in 2026: the 2026 set is not in the book."],
  working: [{ what: "Electricity, 2025 set", inputs: { generated: "0.177" }, rule: "each once", source: "a page (published)", result: "0.19553" }],
};

/** @type {string[]} */
const calls = [];
const realFetch = globalThis.fetch;
/** @param {object} answer */
function serving(answer) {
  calls.length = 0;
  globalThis.fetch = /** @type {typeof fetch} */ (async (url) => {
    calls.push(String(url));
    return new Response(JSON.stringify(answer));
  });
}
afterEach(() => {
  clear();
  globalThis.fetch = realFetch;
});

test("a member reads sums, the range, the year of the set and the opened working", async () => {
  adjust("/money/carbon?year=2026&set=2025");
  serving(CARBON);
  const place = draw(html`<${HomeCarbonPage} />`);
  await settle();
  assert.match(calls[0], /\/households\/h1\/carbon\?from_on=2026-01-01&to_on=2027-01-01&set_year=2025$/);
  const text = place.textContent ?? "";
  assert.match(text, /Beside an average petrol car88\.5 kg less/);
  assert.match(text, /Over the range of petrol cars: not known/);
  assert.match(text, /the 2026 set is not in the book/);
  assert.match(text, /Your plan for the coming days draws 31 kWh: 6\.1 kg\. It is in no sum above/);
  assert.equal(/** @type {HTMLDetailsElement} */ (one(place, "details")).open, true);
  assert.match(text, /Electricity, 2025 set/);
  assert.deepEqual([...place.querySelectorAll("select")[1].options].map(({ value }) => value), ["", "2022", "2025"]);
});

test("a home with nothing recorded is told where it would come from", async () => {
  adjust("/money/carbon");
  serving({ ...CARBON, months: [], planned_kwh: null });
  const place = draw(html`<${HomeCarbonPage} />`);
  await settle();
  assert.match(calls[0], /\/carbon$/);
  assert.deepEqual([...place.querySelectorAll(".empty a")].map((link) => link.getAttribute("href")), ["/money/charged", "/cars"]);
  assert.equal(place.querySelector("details"), null);
});

test("an administrator reads of how many homes the sums are", async () => {
  adjust("/carbon");
  serving({ ...CARBON, household_count: 40, told_household_count: 12, fewest_households: 5 });
  const place = draw(html`<${SchemeCarbonPage} />`);
  await settle();
  assert.match(calls[0], /\/api\/v1\/carbon$/);
  assert.match(place.textContent ?? "", /Counted are 12 homes of 40/);
});

test("sums of too few homes are not told, and why", async () => {
  adjust("/carbon");
  serving({ ...CARBON, months: [], household_count: 40, told_household_count: 0, fewest_households: 5 });
  const place = draw(html`<${SchemeCarbonPage} />`);
  await settle();
  assert.match(one(place, ".empty").textContent ?? "", /at least 5 homes/);
});
