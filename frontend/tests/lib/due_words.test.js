/** How far off a date is, as people say it. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { dueWords } from "../../app/lib/due_words.js";

test("near dates are counted in days, far ones stand alone", () => {
  const today = "2026-11-25";
  const words = ["2026-11-25", "2026-11-26", "2026-12-09", "2026-11-24", "2026-10-25", "2027-11-25"].map((on) => dueWords(on, today));
  assert.deepEqual(words, ["today", "in 1 day", "in 14 days", "overdue by 1 day", "overdue by 31 days", ""]);
});

test("a clock change between two dates is no day more or less", () => {
  assert.equal(dueWords("2027-03-29", "2027-03-27"), "in 2 days");
  assert.equal(dueWords("2026-10-26", "2026-10-24"), "in 2 days");
});
