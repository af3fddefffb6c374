/** The words of claims: months, tax years, amounts, what stands out. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { claimFlags, claimMiles, claimName, isMonth, lastMonths, monthAway, monthWords, partWords, penceOf, pounds, taxYearFrom, taxYearWords } from "../../app/lib/claim_words.js";

/** @type {import("../../app/api/claim_types.d.ts").ClaimRow} */
const ROW = {
  id: "c1", household_id: "h", reference: "H-1", member_name: "M", month: "2026-10", ordinal: 1, state: "sent", corrects_id: null, is_corrected: false,
  miles: "46.5", total_pence: 2093, created_at: "", sent_at: null, decided_at: null, statement_id: null, version: 1, trip_count: 1, is_ready: null,
};

test("months are counted over the end of a year", () => {
  assert.equal(monthAway("2026-01", -1), "2025-12");
  assert.equal(monthAway("2025-12", 1), "2026-01");
  assert.equal(monthWords("2026-03"), "March 2026");
  assert.deepEqual(lastMonths("2026-01-31", 3).map(({ value }) => value), ["2026-01", "2025-12", "2025-11"]);
});

test("only a month as addresses write it is one", () => {
  assert.deepEqual(["2026-11", "2026-13", "2026-1", "1926-11", "2026-11-01", ""].map(isMonth), [true, false, false, false, false, false]);
});

test("a tax year begins on 6 April", () => {
  assert.deepEqual(["2026-04-05", "2026-04-06", "2026-12-31", "2027-01-01"].map(taxYearFrom), ["2025-04-06", "2026-04-06", "2026-04-06", "2026-04-06"]);
  assert.equal(taxYearWords("2026-04-06"), "6 April 2026 to 5 April 2027");
});

test("typed pounds become pence exactly, and what is no amount stays as it was typed", () => {
  assert.deepEqual(["", "250", "250.5", "19.99", ".50", "1e3", "-5", "1.234", "£5"].map(penceOf), [null, 25000, 25050, 1999, ".50", "1e3", "-5", "1.234", "£5"]);
});

test("an amount that is not known is never nought", () => {
  assert.deepEqual([pounds(2093), pounds(0), pounds(-150), pounds(null)], ["£20.93", "£0.00", "−£1.50", "not known"]);
});

test("miles keep their tenth", () => {
  assert.deepEqual(["46.5", "46.0", "1.0", "1234.5"].map(claimMiles), ["46.5 miles", "46 miles", "1 mile", "1,234.5 miles"]);
  assert.equal(partWords({ miles: "46.5", rate_pence: "45.00", pence_exact: "2092.5" }), "46.5 miles at 45p a mile = 2,092.5p");
});

test("a claim is named by its month, and what stands out is said", () => {
  assert.equal(claimName(ROW), "October 2026");
  assert.equal(claimName({ ...ROW, ordinal: 2 }), "October 2026, claim 2");
  assert.equal(claimName({ ...ROW, ordinal: 2, corrects_id: "c0" }), "October 2026, correction");
  assert.deepEqual(claimFlags(ROW), []);
  assert.deepEqual(claimFlags({ ...ROW, ordinal: 2, corrects_id: "c0", total_pence: -10 }), ["Corrects an earlier claim", "To be paid back"]);
});
