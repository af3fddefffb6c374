/** Local time from the zone database: both clock changes of 2026 in London are on 29 March and 25 October, 01:00 UTC. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { formatFarInstant } from "../../app/lib/record_dates.js";
import { addDays, formatDay, formatInstant, formatLength, formatPeriod, formatTime, instantOf, instantText, localDay, localTime } from "../../app/lib/time.js";

const LONDON = "Europe/London";

/** @type {[string, string, string, string][]} day, wall time, zone, instant */
const WALLS = [
  ["2026-11-25", "22:30", LONDON, "2026-11-25T22:30:00+00:00"],
  ["2026-07-01", "22:30", LONDON, "2026-07-01T21:30:00+00:00"],
  ["2026-10-25", "00:30", LONDON, "2026-10-24T23:30:00+00:00"],
  ["2026-10-25", "01:30", LONDON, "2026-10-25T00:30:00+00:00"],
  ["2026-10-25", "02:00", LONDON, "2026-10-25T02:00:00+00:00"],
  ["2026-03-29", "00:30", LONDON, "2026-03-29T00:30:00+00:00"],
  ["2026-03-29", "01:30", LONDON, "2026-03-29T01:30:00+00:00"],
  ["2026-03-29", "02:30", LONDON, "2026-03-29T01:30:00+00:00"],
  ["2026-11-25", "00:00", "Asia/Kolkata", "2026-11-24T18:30:00+00:00"],
  ["2026-12-31", "23:30", "America/St_Johns", "2027-01-01T03:00:00+00:00"],
];

for (const [on, at, zone, instant] of WALLS) {
  test(`${on} ${at} in ${zone} is ${instant}`, () => assert.equal(instantText(on, at, zone), instant));
}

test("a local midnight read back is the same day and time all through 2026", () => {
  for (let on = "2026-01-01"; on < "2027-01-01"; on = addDays(on, 1)) {
    const instant = instantOf(on, "00:00", LONDON);
    assert.equal(localDay(instant, LONDON), on);
    assert.equal(localTime(instant, LONDON), "00:00");
  }
});

test("the time that is shown twice names its clock", () => {
  assert.equal(formatTime("2026-10-25T00:30:00+00:00", LONDON), "01:30 BST");
  assert.equal(formatTime("2026-10-25T01:30:00+00:00", LONDON), "01:30 GMT");
  assert.equal(formatTime("2026-10-25T02:00:00+00:00", LONDON), "02:00");
  assert.equal(formatTime("2026-10-24T23:30:00+00:00", LONDON), "00:30");
});

test("a length is real hours over a clock change", () => {
  assert.equal(formatLength("2026-10-24T23:30:00+00:00", "2026-10-25T05:30:00+00:00"), "6 h");
  assert.equal(formatLength("2026-03-29T00:30:00+00:00", "2026-03-29T04:30:00+00:00"), "4 h");
  assert.equal(formatLength("2026-11-25T00:30:00+00:00", "2026-11-25T01:00:00+00:00"), "30 min");
  assert.equal(formatLength("2026-11-25T00:30:00+00:00", "2026-11-25T05:00:00+00:00"), "4 h 30 min");
});

test("days and instants read as British dates", () => {
  assert.equal(formatDay("2026-11-25"), "Wed 25 Nov");
  assert.equal(formatInstant("2026-07-01T21:30:00+00:00", LONDON), "Wed 1 Jul, 22:30");
  assert.equal(formatFarInstant("2029-06-30T00:00:00+00:00", LONDON), "30 June 2029, 01:00");
  assert.equal(formatFarInstant("2029-06-29T23:00:00+00:00", LONDON), "30 June 2029");
  assert.equal(formatFarInstant(null, LONDON), "not known");
  assert.equal(formatPeriod({ starts_at: "2026-11-25T00:30:00Z", ends_at: "2026-11-25T05:00:00Z" }, LONDON), "00:30 to 05:00");
});
