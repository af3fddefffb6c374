import assert from "node:assert/strict";
import { test } from "node:test";
import { barPercent, breakEvenWords, differenceWords, flipWords, headline, pounds } from "../../app/lib/tariff_ranking_words.js";

/**
 * @param {Partial<import("../../app/api/tariff_ranking_types.d.ts").RankedTariff>} more
 * @returns {import("../../app/api/tariff_ranking_types.d.ts").RankedTariff}
 */
const tariff = (more) => ({
  rank: 1, tariff_id: "a", name: "Even", is_present: false, is_estimate: false, yearly_pence: 100_000, house_pence: 60_000, car_pence: 25_000,
  standing_pence: 15_000, vat_pence: 4_762, car_kwh: 2000, pence_per_mile: "7.5", difference_pence: null, leaving_pence: 0, year_one_pence: 100_000,
  bands: [], reasons: [], questions: [], break_even: null, working: [], ...more,
});

/**
 * @param {import("../../app/api/tariff_ranking_types.d.ts").RankedTariff[]} items
 * @param {import("../../app/api/tariff_ranking_types.d.ts").Firmness} verdict
 * @returns {import("../../app/api/tariff_ranking_types.d.ts").TariffComparison}
 */
const comparison = (items, verdict) => ({
  starts_on: "2026-11-25", ends_on: "2027-11-25", meter_kind: "not_known", region: null, payment: null,
  house_use: { yearly_kwh: 2500, source: "typical", working: [] }, car_kwh_a_year: 2000, car_miles_a_year: 6000,
  petrol: { pence_per_mile: "17", is_current: false, working: [] }, items, left_out: [], leaving: "", notes: [],
  firmness: { verdict, between: [], difference_pence: null, flips: [], reasons: [], rule: "" },
});

test("the verdict names the cheapest, by how much, and whether it is close", () => {
  const night = tariff({ tariff_id: "b", name: "Night", yearly_pence: 112_345 });
  assert.equal(headline(comparison([tariff({}), night], "firm")), "Even is cheapest, by £123.45 a year");
  assert.equal(headline(comparison([tariff({ is_present: true }), night], "firm")), "Stay on Even, by £123.45 a year");
  assert.equal(headline(comparison([tariff({}), night], "close")), "Even is cheapest, but it is close: £123.45 a year");
  assert.equal(headline(comparison([tariff({})], "only_one")), "Even is the only tariff that can be ranked");
  assert.equal(headline(comparison([], "none")), "No tariff can be ranked yet");
});

test("a difference to the present tariff says which way, and nothing where there is none to compare with", () => {
  assert.equal(differenceWords(tariff({ difference_pence: -5000 })), "£50.00 a year less than now");
  assert.equal(differenceWords(tariff({ difference_pence: 1 })), "£0.01 a year more than now");
  assert.equal(differenceWords(tariff({ difference_pence: 0 })), "The same a year as now");
  assert.equal(differenceWords(tariff({ is_present: true, difference_pence: 0 })), "Your tariff now");
  assert.equal(differenceWords(tariff({})), "");
});

test("an amount that is not known is never nought", () => {
  assert.equal(pounds(null), "not known");
  assert.equal(pounds(0), "£0.00");
});

test("a flip says where things stand and where two tariffs cost the same, or that no value does it", () => {
  const between = ["Night", "Even"];
  assert.equal(
    flipWords({ what: "house_kwh", of: "", value: "2500", flips_at: "4321.4", is_near: false }, between),
    "The house's use: 2,500 kWh a year now. At 4,321 kWh a year Night and Even cost the same.",
  );
  assert.equal(
    flipWords({ what: "cheap_share", of: "Night", value: "44.25", flips_at: null, is_near: false }, between),
    "The use that falls in the cheap hours of Night: 44.3 % now. No other value puts Even before Night.",
  );
});

test("the break-even share stands beside the home's own", () => {
  assert.equal(
    breakEvenWords(tariff({ name: "Night", break_even: { against: "Even", share_percent: 19.5, own_share_percent: 44 } }), []),
    "Night costs what Even does when 19.5 % of all use falls in its cheap hours. You are at 44 %.",
  );
  const never = { against: "Even", share_percent: null, own_share_percent: 44 };
  const words = (/** @type {number} */ yearly) => breakEvenWords(tariff({ name: "Night", yearly_pence: yearly, break_even: never }), [tariff({})]);
  assert.equal(words(90_000), "Night is cheaper than Even whatever share of use falls in its cheap hours. You are at 44 %.");
  assert.equal(words(110_000), "Night is dearer than Even whatever share of use falls in its cheap hours. You are at 44 %.");
  assert.equal(breakEvenWords(tariff({}), []), "");
});

test("bars share one scale, and a credit has no length", () => {
  const items = [tariff({}), tariff({ house_pence: 120_000, car_pence: 60_000, standing_pence: 20_000 })];
  assert.equal(barPercent(100_000, items), 50);
  assert.equal(barPercent(-100, items), 0);
});
