/** The pages on a lead and on money against answers of the service. */
import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import { clear, draw, one, settle } from "../dom.js";

const { html } = await import("htm/preact");
const { LeadEnoughPage } = await import("../../app/pages/advice/lead_enough.js");
const { milesFault } = await import("../../app/pages/advice/lead_asks.js");
const { MoneyPage, QUESTIONS } = await import("../../app/pages/advice/money.js");
const { routes } = await import("../../app/more_routes.js");
const { session } = await import("../../app/state/session.js");

/** @type {import("../../app/api/types.d.ts").Session} */
const MEMBER = { account: { name: "M", email: "m@x.example" }, scheme: { id: "s", name: "S" }, roles: ["member"], household_id: "h1", demo_mail: false };
session.value = MEMBER;

const step = { what: "The verdict", inputs: { a: "b" }, rule: "own rule", source: "own choice", result: "not enough" };
const ANSWER = {
  verdict: "not_enough", night_percent: 23.8, week_percent: 100, years: 2000, is_battery: false,
  sure: { level: "a first impression", words: "It rests on 7 days.", low_percent: 10, high_percent: 40, could_be_percent: null },
  carried_miles: "40", driven_miles: "51", margin_miles: "-11",
  nights: [{ on: "2026-11-24", miles: "51.0", need_kwh: 15, given_kwh: 12, need_minutes: 390, plugged_minutes: 313 }],
  long_journey: { miles: "120", words: "Fill past the ceiling from 2 nights before; nothing has to be charged on the way.", nights_to_fill: 2, elsewhere_kwh: 0, nights_until_usual: 1 },
  closers: [
    { kind: "plug_in_earlier", words: "Plug in as soon as it is back", night_percent: 0, week_percent: 0, would_close: true, note: "It costs nothing.", working: [step] },
    { kind: "charging_point", words: "A charging point at 32 A, 7.36 kW", night_percent: 1, week_percent: 5, would_close: false, note: "It costs most.", working: [step] },
  ],
  working: [step],
};
const VERDICT = {
  vehicle_id: "v1", verdict: "not_enough", headline: "The lead is not enough for the hatchback.", first: "", next_step: "", not_known_because: null,
  days_kept: 7, days_needed: 0, cleared_until: null, feeds_by: "lead", power_kw: 2.3, assumptions: ["In cold weather a mile takes more."], answer: ANSWER,
};
const CAR = { id: "v1", label: "hatchback" };

const realFetch = globalThis.fetch;
/** @type {string[]} */
const asked = [];
/** @param {object} verdict @param {object[]} cars */
function serving(verdict, cars = [CAR]) {
  asked.length = 0;
  globalThis.fetch = /** @type {typeof fetch} */ (async (url) => {
    asked.push(String(url));
    return new Response(JSON.stringify(String(url).includes("lead_verdict") ? verdict : { items: cars }));
  });
}
afterEach(() => {
  clear();
  globalThis.fetch = realFetch;
});

test("the verdict stands first, then the shares, what would close it, and how sure it is", async () => {
  serving(VERDICT);
  const place = draw(html`<${LeadEnoughPage} />`);
  await settle();
  const text = place.textContent ?? "";
  const places = ["The lead is not enough for the hatchback.", "24%", "40 miles a day", "What would close it", "Plug in as soon as it is back", "would do", "A charging point", "A week with one long journey", "How sure this is"].map((words) => text.indexOf(words));
  assert.ok(places.every((at) => at >= 0), String(places));
  assert.deepEqual(places, [...places].sort((a, b) => a - b));
  const working = [...place.querySelectorAll("details")].find((each) => each.querySelector("summary")?.textContent === "How this came about");
  assert.ok(working);
  working.open = true;
  working.dispatchEvent(new Event("toggle"));
  await settle();
  assert.match(working.textContent ?? "", /The verdict: not enough.*own rule.*Source: own choice/s);
});

test("what is not cleared is said before anything else", async () => {
  serving({ ...VERDICT, verdict: "not_known", not_known_because: "not_cleared", first: "Do not charge at the garage socket yet.", next_step: "Book an electrician.", headline: "Do not charge at the garage socket yet. If it were cleared, the lead would be not enough for the hatchback." });
  const place = draw(html`<${LeadEnoughPage} />`);
  await settle();
  assert.match(one(place, ".verdict").textContent ?? "", /^Do not charge at the garage socket yet.*Book an electrician/s);
  assert.equal(one(place, "#lead-figures-title").textContent, "If it were cleared");
});

test("without a diary the way to it is shown", async () => {
  serving({ ...VERDICT, verdict: "not_known", not_known_because: "diary", headline: "Not known yet: 4 more days of diary are needed.", days_kept: 3, days_needed: 4, answer: null });
  const place = draw(html`<${LeadEnoughPage} />`);
  await settle();
  assert.match(place.textContent ?? "", /3 days of 7 kept/);
  assert.equal(one(place, "a.button").getAttribute("href"), "/cars/v1/diary");
});

test("another time of plugging in and a long journey are asked of the service", async () => {
  serving(VERDICT);
  const place = draw(html`<${LeadEnoughPage} />`);
  await settle();
  const late = [...place.querySelectorAll("input[type=radio]")].find((each) => /** @type {HTMLInputElement} */ (each).value === "22:00");
  late?.dispatchEvent(new Event("change", { bubbles: true }));
  await settle();
  assert.match(asked.at(-1) ?? "", /plug_in_at=22%3A00$/);
  const miles = /** @type {HTMLInputElement} */ (one(place, "input[name=long_miles]"));
  miles.value = "160";
  miles.dispatchEvent(new Event("input", { bubbles: true }));
  await settle();
  /** @type {HTMLElement} */ (miles.closest("form")).dispatchEvent(new Event("submit", { bubbles: true, cancelable: true }));
  await settle();
  assert.match(asked.at(-1) ?? "", /plug_in_at=22%3A00&long_miles=160$/);
  assert.deepEqual(["", "0", "abc", "1501"].map((text) => milesFault(text) !== ""), [true, true, true, true]);
  assert.equal(milesFault("140.5"), "");
});

test("money has a card for each question, and every card leads to a page that is there", async () => {
  serving(VERDICT);
  const place = draw(html`<${MoneyPage} />`);
  await settle();
  assert.match(place.textContent ?? "", /The lead is not enough for the hatchback\./);
  const links = [...place.querySelectorAll("h2 a")].map((link) => link.getAttribute("href"));
  assert.deepEqual(links, ["/money/lead", ...QUESTIONS.map(({ path }) => path)]);
  for (const link of links) assert.ok(routes.some(({ path }) => path === link), String(link));
});
