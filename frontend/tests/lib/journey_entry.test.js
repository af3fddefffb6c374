import assert from "node:assert/strict";
import { test } from "node:test";
import { journeyBody, journeyValues } from "../../app/lib/journey_entry.js";

const LONDON = "Europe/London";
const STORED = {
  id: "j", leaves_at: "2026-10-25T01:30:00+00:00", returns_at: "2026-10-27T19:00:00+00:00", miles: "120", is_important: true,
  replaces_routine: true, is_business: true, note: "",
};

test("a journey opened and saved unchanged keeps its instants, in the repeated hour too", () => {
  const { id, ...entry } = STORED;
  assert.equal(id, "j");
  assert.deepEqual(journeyBody(journeyValues(STORED, LONDON, "2026-10-25"), LONDON, STORED), entry);
});

test("a changed time is read in the household's zone", () => {
  const values = { ...journeyValues(STORED, LONDON, "2026-10-25"), leaves_on: "2026-07-01", leaves_time: "07:00" };
  assert.equal(journeyBody(values, LONDON, STORED).leaves_at, "2026-07-01T06:00:00+00:00");
});

test("a new journey begins on the given day", () => {
  const values = journeyValues(null, LONDON, "2026-11-26");
  assert.equal(values.leaves_on, "2026-11-26");
  assert.equal(journeyBody({ ...values, miles: " 40 " }, LONDON).miles, "40");
});
