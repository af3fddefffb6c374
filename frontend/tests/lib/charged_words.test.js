/** From a form to a charge on the home's clock, and charges in words. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { chargeFields, chargeOf, chargeStart, greatestKwh, headline, recordTimes, recordWords, totalRows } from "../../app/lib/charged_words.js";

const ZONE = "Europe/London";
const CARS = [{ id: "v1", label: "hatchback" }];
const TWO = [...CARS, { id: "v2", label: "van" }];
const VALUES = { on: "2026-11-24", start: "23:30", end: "03:30", energy_kwh: "9,2", paid: "", is_metered: false };
const TOTALS = {
  home_kwh: 0, elsewhere_kwh: 0, paid_pence: 0, unpaid_count: 0, cost_pence: "0", unpriced_kwh: 0, outside_cheap_kwh: 0, dearer_pence: "0",
  uncompared_kwh: 0, estimate_kwh: 0, planned_kwh: 0, planned_days: 0, home_on_planned_days_kwh: 0,
};
/** @type {import("../../app/api/charging_types.d.ts").ChargingRecord} */
const RECORD = {
  id: "r", vehicle_id: "v2", place: "public", starts_at: "2026-07-01T11:00:00+00:00", ends_at: "2026-07-01T11:40:00+00:00", energy_kwh: 21.4,
  outlet_id: null, is_metered: false, paid_pence: 1284, note: "", source: "csv", external_id: null,
};

test("an end at or before the start is on the next day, both on the home's clock", () => {
  const entry = chargeOf(VALUES, "home", CARS, ZONE);
  assert.deepEqual([entry.starts_at, entry.ends_at, entry.energy_kwh], ["2026-11-24T23:30:00+00:00", "2026-11-25T03:30:00+00:00", 9.2]);
  assert.deepEqual([entry.vehicle_id, entry.place, entry.paid_pence], ["v1", "home", null]);
  const summer = chargeOf({ ...VALUES, on: "2026-07-01", start: "18:00", end: "20:00" }, "home", CARS, ZONE);
  assert.deepEqual([summer.starts_at, summer.ends_at], ["2026-07-01T17:00:00+00:00", "2026-07-01T19:00:00+00:00"]);
});

test("a night over a clock change keeps its times of day", () => {
  const entry = chargeOf({ ...VALUES, on: "2026-10-24", start: "23:30", end: "05:30" }, "home", CARS, ZONE);
  assert.equal((Date.parse(entry.ends_at) - Date.parse(entry.starts_at)) / 3_600_000, 7);
});

test("what was paid is sent in whole pence, and only away from home", () => {
  assert.equal(chargeOf({ ...VALUES, paid: "12.84" }, "public", CARS, ZONE).paid_pence, 1284);
  assert.equal(chargeOf({ ...VALUES, paid: "1.10" }, "work", CARS, ZONE).paid_pence, 110);
  assert.equal(chargeOf({ ...VALUES, paid: "12.84" }, "home", CARS, ZONE).paid_pence, null);
  assert.equal(chargeOf(VALUES, "public", CARS, ZONE).paid_pence, null);
});

test("the car is asked for where there are several, what was paid where it was not at home", () => {
  const names = (/** @type {import("../../app/lib/form_values.js").FieldSpec[]} */ fields) => fields.map(({ name }) => name);
  assert.deepEqual(names(chargeFields(CARS, true)), ["on", "start", "end", "energy_kwh", "is_metered"]);
  assert.deepEqual(names(chargeFields(TWO, false)), ["vehicle_id", "on", "start", "end", "energy_kwh", "paid", "is_metered"]);
});

test("a record comes back as it was entered", () => {
  const start = chargeStart(TWO, "2026-11-25", ZONE, RECORD);
  assert.deepEqual(start, { vehicle_id: "v2", on: "2026-07-01", start: "12:00", end: "12:40", energy_kwh: "21.4", paid: "12.84", is_metered: false });
  const again = chargeOf(start, "public", TWO, ZONE);
  assert.deepEqual([again.starts_at, again.ends_at, again.paid_pence, again.vehicle_id], [RECORD.starts_at, RECORD.ends_at, 1284, "v2"]);
  assert.equal(chargeStart(CARS, "2026-11-25", ZONE).on, "2026-11-24");
});

test("a record in words says where, which car, what was paid and how it is known", () => {
  assert.equal(recordTimes(RECORD, ZONE), "Wed 1 Jul, 12:00 to 12:40");
  assert.equal(recordWords(RECORD, TWO), "At a public point · van · £12.84 paid · not metered · from a table");
  assert.match(recordWords({ ...RECORD, paid_pence: null }, CARS), /^At a public point · what was paid is not known/);
});

test("an estimate is never said as what was charged", () => {
  assert.equal(headline(TOTALS), "Nothing is recorded for these days");
  assert.match(headline({ ...TOTALS, estimate_kwh: 30 }), /^Nothing is recorded; by the miles driven about 30 kWh \(an estimate\)$/);
  assert.equal(headline({ ...TOTALS, home_kwh: 9.2, cost_pence: "211.025", estimate_kwh: 30 }), "9.2 kWh at home for £2.11");
  assert.equal(headline({ ...TOTALS, home_kwh: 9.2, unpriced_kwh: 9.2 }), "9.2 kWh at home at a price that is not known");
  assert.equal(headline({ ...TOTALS, elsewhere_kwh: 20 }), "20 kWh elsewhere, nothing at home");
});

test("totals name what they have, and say when a comparison is not known", () => {
  assert.deepEqual(totalRows(TOTALS), []);
  const rows = Object.fromEntries(totalRows({ ...TOTALS, home_kwh: 9, uncompared_kwh: 9, planned_days: 1, planned_kwh: 8, elsewhere_kwh: 20, paid_pence: 1284, unpaid_count: 1 }));
  assert.equal(rows["More than it had to cost"], "not known");
  assert.equal(rows["Planned, on 1 day with a plan kept"], "8 kWh");
  assert.equal(rows.Elsewhere, "20 kWh, £12.84 paid, 1 not known");
});

test("all bars share one scale, which is never nought", () => {
  const day = { on: "", home_kwh: 0, elsewhere_kwh: 0, paid_pence: 0, unpaid_count: 0, cost_pence: null, unpriced_kwh: 0, outside_cheap_kwh: 0, dearer_pence: null, planned_kwh: null, estimate_kwh: 0, is_spread: false };
  assert.equal(greatestKwh([day]), 1);
  assert.equal(greatestKwh([day, { ...day, planned_kwh: 12 }, { ...day, home_kwh: 9 }]), 12);
});
