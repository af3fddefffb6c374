/** What was charged, against answers of the service: a file is read before it is kept, an estimate stands apart. */
import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import { clear, draw, one, settle } from "../dom.js";

const { html } = await import("htm/preact");
const { cdrsOf, ImportBox } = await import("../../app/pages/households/charged/import_box.js");
const { DayBars, dayWords } = await import("../../app/pages/households/charged/day_bars.js");
const { ProfileLinks } = await import("../../app/pages/households/charged/profile_links.js");
const { AdviceList } = await import("../../app/pages/advice/appliances/advice_list.js");
const { session } = await import("../../app/state/session.js");

/** @type {import("../../app/api/types.d.ts").Session} */
const MEMBER = { account: { name: "M", email: "m@x.example" }, scheme: { id: "s", name: "S" }, roles: ["member"], household_id: "h1", demo_mail: false };
session.value = MEMBER;

/** @type {{ path: string, body: any }[]} */
const calls = [];
const realFetch = globalThis.fetch;
const serving = (/** @type {() => Response} */ answer) => {
  calls.length = 0;
  globalThis.fetch = /** @type {typeof fetch} */ (async (url, init) => {
    calls.push({ path: String(url), body: init?.body ? JSON.parse(String(init.body)) : null });
    return answer();
  });
};
afterEach(() => {
  clear();
  globalThis.fetch = realFetch;
});

const CARS = [{ id: "v1", label: "hatchback" }];
const FOUND = { is_dry_run: true, added_count: 2, skipped_count: 1, added_kwh: 13.2, first_at: "2026-11-20T01:00:00Z", last_at: "2026-11-21T04:00:00Z" };
const choose = async (/** @type {HTMLElement} */ place, /** @type {string} */ name, /** @type {string} */ text) => {
  const field = /** @type {HTMLInputElement} */ (one(place, "input[type=file]"));
  Object.defineProperty(field, "files", { value: [{ name, text: async () => text }], configurable: true });
  field.dispatchEvent(new Event("change", { bubbles: true }));
  await settle();
};
const press = async (/** @type {HTMLElement} */ place) => {
  one(place, "form").dispatchEvent(new Event("submit", { bubbles: true, cancelable: true }));
  await settle();
};

test("a table is read without being kept, then kept", async () => {
  let kept = 0;
  serving(() => new Response(JSON.stringify(FOUND)));
  const place = draw(html`<${ImportBox} cars=${CARS} outlets=${[]} zone="Europe/London" onKept=${() => (kept += 1)} />`);
  await choose(place, "a.csv", "starts_at\n");
  await press(place);
  assert.match(place.textContent ?? "", /2 charges, 13.2 kWh, from Fri 20 Nov, 01:00 to Sat 21 Nov, 04:00/);
  assert.match(place.textContent ?? "", /Nothing is kept yet. Already here, and so skipped: 1 charge\./);
  assert.equal(kept, 0);
  await press(place);
  assert.deepEqual(calls.map(({ body }) => body.is_dry_run), [true, false]);
  assert.equal(kept, 1);
});

test("a refusal names line and column, and nothing else of the address", async () => {
  serving(() => new Response(JSON.stringify({ status: 422, errors: [{ pointer: "#/rows/1/energy_kwh", detail: "line 3, energy_kwh: is too much" }] }), { status: 422 }));
  const place = draw(html`<${ImportBox} cars=${CARS} outlets=${[]} zone="Europe/London" onKept=${() => {}} />`);
  await choose(place, "a.csv", "x");
  await press(place);
  assert.equal(one(place, "[role=alert] li").textContent, "Line 3, energy_kwh: is too much.");
});

test("charge detail records are sent for the home's car", async () => {
  serving(() => new Response(JSON.stringify(FOUND)));
  const place = draw(html`<${ImportBox} cars=${CARS} outlets=${[{ id: "o1", label: "point" }]} zone="Europe/London" onKept=${() => {}} />`);
  await choose(place, "a.json", '{"data": [{"id": "1"}]}');
  await press(place);
  assert.deepEqual(calls[0].body, { vehicle_id: "v1", outlet_id: "o1", cdrs: [{ id: "1" }], is_dry_run: true });
  for (const text of ["no json", '{"id": "1"}']) {
    assert.throws(() => cdrsOf(text), (/** @type {any} */ thrown) => thrown.errors[0].detail === "This is not a JSON list of charge detail records.");
  }
  assert.deepEqual(cdrsOf("[]"), []);
});

test("an estimate is marked in its row and has no cost", async () => {
  const day = { on: "2026-11-24", home_kwh: 0, elsewhere_kwh: 0, paid_pence: 0, unpaid_count: 0, cost_pence: "0", unpriced_kwh: 0, outside_cheap_kwh: 0, dearer_pence: "0", planned_kwh: null, estimate_kwh: 13.889, is_spread: false };
  assert.equal(dayWords(day), "about 13.9 kWh (estimate), cost not known");
  assert.equal(dayWords({ ...day, estimate_kwh: 0, planned_kwh: 4 }), "nothing, 4 kWh planned");
  assert.equal(dayWords({ ...day, estimate_kwh: 0, home_kwh: 9.2, cost_pence: null }), "9.2 kWh, not known");
  const place = draw(html`<${DayBars} days=${[day]} />`);
  one(place, "details").setAttribute("open", "");
  one(place, "details").dispatchEvent(new Event("toggle"));
  await settle();
  assert.match(one(place, "td[data-name='At home']").textContent ?? "", /about 13.9 kWh \(estimate\)/);
  assert.equal(one(place, "td[data-name=Cost]").textContent, "not known");
  assert.equal(one(place, "td[data-name=Planned]").textContent, "not known");
  assert.equal(place.querySelectorAll(".charged-bar .charged-home").length, 0);
  assert.equal(place.querySelectorAll(".charged-bar .charged-estimate").length, 1);
});

test("a plan is offered for charging points alone", () => {
  const outlets = [{ id: "o1", label: "point", kind: "charging_point" }, { id: "o2", label: "socket", kind: "socket_13a" }];
  const home = (/** @type {string} */ outlet) => /** @type {any} */ ({ outlets, vehicles: [{ id: "v1", label: "hatchback", outlet_id: outlet }] });
  const links = [...draw(html`<${ProfileLinks} home=${home("o1")} />`).querySelectorAll("a")].map((link) => link.getAttribute("href"));
  assert.deepEqual(links, ["1.6", "2.0.1"].map((version) => `/api/v1/households/h1/plan/charging_profile?version=${version}&vehicle_id=v1`));
  assert.match(draw(html`<${ProfileLinks} home=${home("o2")} />`).textContent ?? "", /a 13 A socket follows no list of times/);
});

test("cautions stand before the advice, whether there is any or not", () => {
  const advice = { awake: [], is_awake_assumed: true, tariff_names: [], are_past_prices: false, cautions: ["Never leave it on."], items: [] };
  const place = draw(html`<${AdviceList} advice=${advice} />`);
  assert.match(one(place, ".note").textContent ?? "", /Never leave it on/);
  assert.match(place.textContent ?? "", /No appliance is stated yet/);
});
