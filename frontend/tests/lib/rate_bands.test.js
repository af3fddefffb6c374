import assert from "node:assert/strict";
import { test } from "node:test";
import { coverage, coverageRuns, halfHourTime, monthWords, newDraft, sheetName, toggled, windowHalfHours } from "../../app/lib/rate_bands.js";

/** @type {import("../../app/api/types.d.ts").DayKind[]} */
const EVERY_DAY = ["weekday", "weekend", "bank_holiday"];
const YEAR = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12];
/**
 * @param {string} from
 * @param {string} until
 */
const window = (from, until, day_kinds = EVERY_DAY, months = YEAR) => ({ starts_at: from, ends_at: until, day_kinds, months });
/**
 * @param {string} name
 * @param {ReturnType<typeof window>[]} windows
 */
const band = (name, windows, is_otherwise = false) => ({ name, price_pence_per_kwh: "10", is_otherwise, windows });

test("a window that crosses midnight covers both ends of the day", () => {
  assert.deepEqual(windowHalfHours(window("23:30", "00:30")), [47, 0]);
  assert.equal(windowHalfHours(window("00:00", "00:00")).length, 48);
  assert.equal(windowHalfHours(window("00:00", "24:00")).length, 48);
  assert.deepEqual(windowHalfHours(window("00:10", "01:00")), []);
});

test("gaps and overlaps are seen, the otherwise band fills the rest", () => {
  const night = band("Night", [window("00:30", "05:30")]);
  const peak = band("Peak", [window("05:00", "06:00")]);
  const runs = coverageRuns(coverage([night, peak], "weekday", 1));
  assert.deepEqual(runs, [
    { first: 0, end: 1, places: [] }, { first: 1, end: 10, places: [0] }, { first: 10, end: 11, places: [0, 1] },
    { first: 11, end: 12, places: [1] }, { first: 12, end: 48, places: [] },
  ]);
  const filled = coverage([night, band("Day", [], true)], "weekday", 1);
  assert.deepEqual(coverageRuns(filled).map((run) => run.places), [[1], [0], [1]]);
});

test("day kind and month decide whether a window counts", () => {
  const winter = band("Evening", [window("16:00", "19:00", ["weekday"], [12, 1])]);
  assert.deepEqual(coverage([winter], "weekday", 1)[32], [0]);
  assert.deepEqual(coverage([winter], "weekend", 1)[32], []);
  assert.deepEqual(coverage([winter], "weekday", 6)[32], []);
});

test("a draft starts from the version it follows, without its name", () => {
  const like = { id: "v", tariff_id: "t", published_at: "x", valid_from_on: "2026-01-01", label: "Old", vat_percent: "5", vat_included: false, sheets: [] };
  assert.deepEqual(newDraft("banded", like, "2026-12-01"), { valid_from_on: "2026-12-01", label: "", vat_percent: "5", vat_included: false, sheets: [] });
  assert.equal(newDraft("banded", null, "2026-12-01").sheets[0].bands[0].is_otherwise, true);
  assert.deepEqual(newDraft("half_hourly", null, "2026-12-01").sheets[0].bands, []);
});

test("words for sheets, months and half-hours", () => {
  const sheet = { region: "North", payment: "prepaid", standing_pence_per_day: "1", bands: [] };
  assert.equal(sheetName(sheet), "Region North, paid by prepaid");
  assert.equal(sheetName({ ...sheet, region: null, payment: null }), "All regions and payment methods");
  assert.equal(monthWords(YEAR), "all year");
  assert.equal(monthWords([12, 1]), "Dec, Jan");
  assert.equal(halfHourTime(11), "05:30");
  assert.equal(halfHourTime(48), "24:00");
  assert.deepEqual(toggled(EVERY_DAY, ["bank_holiday"], "weekday"), ["weekday", "bank_holiday"]);
  assert.deepEqual(toggled(EVERY_DAY, EVERY_DAY, "weekend"), ["weekday", "bank_holiday"]);
});
