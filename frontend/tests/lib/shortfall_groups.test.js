import assert from "node:assert/strict";
import { test } from "node:test";
import { groupShortfalls } from "../../app/lib/shortfall_groups.js";
import { plan, vehicle } from "../plans.js";

/** @typedef {import("../../app/api/types.d.ts").PlanShortfall} PlanShortfall */

const short = (/** @type {string} */ leavesAt, /** @type {PlanShortfall["cause"]} */ cause = "evidence_ends") =>
  ({ leaves_at: leavesAt, short_kwh: 1, short_miles: 3, is_reserve_only: false, cause, next_step: "Book it." });

test("departures of a car with one cause stand together, another cause or car apart", () => {
  const [one, two] = [vehicle("A", []), vehicle("B", [])];
  one.shortfalls = [short("1"), short("2", "battery_too_small"), short("3")];
  two.shortfalls = [short("1")];
  const groups = groupShortfalls(plan([one, two]));
  assert.deepEqual(groups.map(({ label, cause, departures }) => [label, cause, departures.map((each) => each.leaves_at).join()]), [
    ["A", "evidence_ends", "1,3"], ["A", "battery_too_small", "2"], ["B", "evidence_ends", "1"],
  ]);
});
