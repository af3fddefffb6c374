/** The words that pages put together from what the service sends. */
import assert from "node:assert/strict";
import { test } from "node:test";
import "../dom.js";
import { plan, stay, vehicle, week } from "../plans.js";

const { signInAdvice } = await import("../../app/pages/accounts/sign_in.js");
const { contractWords } = await import("../../app/pages/households/home_contracts.js");
const { identityWords } = await import("../../app/pages/households/home_wiring.js");
const { nextSort } = await import("../../app/pages/households/household_table.js");
const { returnDays } = await import("../../app/pages/households/routine_day.js");
const { chargingRows } = await import("../../app/pages/planning/charging_table.js");
const { energyIn, rangeWords } = await import("../../app/pages/planning/price_tables.js");
const { recheckWords } = await import("../../app/pages/safety/rechecks.js");
const { seriesWords } = await import("../../app/pages/tariffs/price_upload.js");
const { checkedWords, previewRows } = await import("../../app/pages/tariffs/version_preview.js");
const { windowWords } = await import("../../app/pages/tariffs/version_sheets.js");
const { Problem } = await import("../../app/lib/problem.js");

test("a failed sign-in says what to check, too many tries how long to wait, others are left to the general words", () => {
  assert.match(signInAdvice(new Problem({ status: 401 })), /typing slips/);
  assert.match(signInAdvice(new Problem({ status: 429 }, 600)), /Wait 10 minutes/);
  assert.equal(signInAdvice(new Problem({ status: 500 })), "");
  assert.equal(signInAdvice(null), "");
});

test("charging times of all cars stand in the order of time", () => {
  const two = plan([
    vehicle("A", [stay([["2026-11-26T03:00:00Z", "2026-11-26T04:00:00Z"]])]),
    vehicle("B", [stay([["2026-11-26T01:00:00Z", "2026-11-26T03:00:00Z"], ["2026-11-27T01:00:00Z", "2026-11-27T02:00:00Z"]])]),
  ]);
  assert.deepEqual(chargingRows(two).map(({ label }) => label), ["B", "A", "B"]);
});

test("a day's prices in a few words, unknown ones named", () => {
  const run = (/** @type {number} */ price, isKnown = true) => ({ first: 0, end: 1, price, isKnown });
  assert.equal(rangeWords([run(9.35), run(27.6)]), "9.35p to 27.6p");
  assert.equal(rangeWords([run(9.35), run(0, false)]), "9.35p, some not known");
  assert.equal(rangeWords([run(0, false)]), "price not known");
});

test("the energy of a run is that of all cars", () => {
  const sample = week("2026-11-25T00:00:00+00:00", [{ on: "2026-11-25", count: 48 }]);
  sample.vehicles.push({ ...sample.vehicles[0], vehicle_id: "c2" });
  assert.equal(energyIn(sample, { first: 0, end: 3, price: 1, isKnown: true }), 4 * 1.15);
});

test("a recheck is due, overdue from the day after, or done", () => {
  const recheck = { id: "r", item_kind: "lead", item_id: "l", item_label: "Lead", due_on: "2026-11-25", rule: "", done_on: null, task: /** @type {const} */ ("other"), rule_name: "", source: "", interval_days: null, is_claimed: false };
  assert.equal(recheckWords(recheck, "2026-11-25"), "due on 25 November 2026");
  assert.equal(recheckWords(recheck, "2026-11-26"), "overdue since 25 November 2026");
  assert.equal(recheckWords({ ...recheck, done_on: "2026-11-20" }, "2026-11-26"), "done on 20 November 2026");
});

test("a contract says its period, its meter's clock and windows", () => {
  const contract = {
    id: "x", tariff_id: "t", tariff_name: "T", starts_on: "2026-02-01", ends_on: null, clock: /** @type {const} */ ("gmt"),
    windows: [{ band: "Night", starts_at: "01:00", ends_at: "06:00" }], exit_fee_pence: null, fixed_until_on: null,
  };
  assert.equal(contractWords(contract), "From 1 February 2026 without an end, meter on GMT all year; own meter windows: Night 01:00 to 06:00");
  assert.equal(contractWords({ ...contract, ends_on: "2027-02-01", clock: null, windows: [] }), "From 1 February 2026 until 1 February 2027");
  const fixed = { ...contract, clock: null, windows: [], fixed_until_on: "2027-02-01" };
  assert.equal(contractWords(fixed), "From 1 February 2026 without an end; fixed until 1 February 2027, leaving earlier costs an amount that is not known");
  assert.match(contractWords({ ...fixed, exit_fee_pence: 7500 }), /leaving earlier costs £75\.00$/);
});

test("an item without a maker says so", () => {
  assert.equal(identityWords({ maker_model: "", serial_or_batch: "7", supplied_by: "", since_on: null }), "maker and model not known · no. 7");
});

test("pressing a column's head turns its order round", () => {
  assert.equal(nextSort({ by: "reference" }, "clearance"), "reference");
  assert.equal(nextSort({ by: "reference" }, "reference"), "-reference");
  assert.equal(nextSort({ by: "week_cost", isLargestFirst: true }, "reference"), "-week_cost");
  assert.equal(nextSort({ by: "week_cost", isLargestFirst: true }, "-week_cost"), "week_cost");
});

test("return days count on over the end of the week", () => {
  assert.deepEqual(returnDays(5).slice(0, 3).map(({ label }) => label), ["same day", "Sunday", "Monday, 2 days later"]);
});

test("a preview shows the change with its sign and how much was worked out", () => {
  const preview = {
    household_count: 22, price_changes_count: 20, blocks_move_count: 17, checked_count: 20, week_cost_before_pence: "1000",
    week_cost_after_pence: "1250.5", new_shortfall_count: 1, unpriced_count: 0,
  };
  assert.deepEqual(previewRows(preview)[0], ["Homes on this tariff", "22 homes"]);
  assert.deepEqual(previewRows(preview)[4], ["Week's cost now", "about £10"]);
  assert.match(checkedWords(preview), /^Every home whose prices change/);
  assert.match(checkedWords({ ...preview, checked_count: 5 }), /5 homes of 20/);
  assert.match(checkedWords({ ...preview, unpriced_count: 2 }), /leave out 2 homes/);
});

test("a stored series is summed up", () => {
  assert.equal(seriesWords(null), "No half-hour price has been stored yet.");
  assert.match(seriesWords({ first_at: "2026-01-01T00:00:00Z", last_at: "2026-01-01T23:30:00Z", count: 48 }), /^48 half-hour prices stored, from Thu 1 Jan, 00:00/);
});

test("a window ends at 24:00, and says its days and months only where they matter", () => {
  const window = { starts_at: "19:00", ends_at: "00:00", day_kinds: /** @type {import("../../app/api/types.d.ts").DayKind[]} */ (["weekday"]), months: [12, 1] };
  assert.equal(windowWords(window), "19:00 to 24:00, weekdays, Dec, Jan");
  assert.equal(windowWords({ ...window, day_kinds: ["weekday", "weekend", "bank_holiday"], months: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12] }), "19:00 to 24:00, every day");
});
