import assert from "node:assert/strict";
import { test } from "node:test";
import { datesInWords, formatRecordInstant } from "../../app/lib/record_dates.js";

const LONDON = "Europe/London";

test("written days in a text are put in words, other figures left alone", () => {
  assert.equal(datesInWords("inspected on 2026-11-20 by J, due 2029-11-20."), "inspected on 20 November 2026 by J, due 20 November 2029.");
  for (const text of ["certificate E-2026-11-20", "2026-13-40", "2026-11-20T12:00:00"]) assert.equal(datesInWords(text), text);
});

test("a record of another year names it", () => {
  const now = Date.parse("2026-11-25T12:00:00Z");
  assert.equal(formatRecordInstant("2026-03-01T09:00:00Z", LONDON, now), "Sun 1 Mar, 09:00");
  assert.equal(formatRecordInstant("2025-03-01T09:00:00Z", LONDON, now), "Sat 1 Mar 2025, 09:00");
});
