import assert from "node:assert/strict";
import { test } from "node:test";
import { chargeWords } from "../../app/lib/charge_words.js";
import { plan, stay, vehicle } from "../plans.js";

const NOW = Date.parse("2026-11-25T12:20:00Z");
const ENTERED = { percent: 78, read_at: "2026-11-25T11:55:00+00:00" };
const car = (/** @type {number} */ percent, /** @type {"read" | "estimated" | "not_known"} */ basis, arrivesAt = "2026-11-25T12:30:00Z") =>
  ({ ...vehicle("Van", [stay([], { arrives_at: arrivesAt })]), charge_percent: percent, charge_basis: basis });
const words = (/** @type {import("../../app/api/types.d.ts").PlanVehicle} */ one, /** @type {import("../../app/api/types.d.ts").StateOfCharge | null} */ reading) =>
  chargeWords(one, reading, plan([one]), NOW);

test("what was entered is the charge now", () => {
  assert.equal(words(car(78, "read"), ENTERED), "Charge now: 78%, as you entered it.");
});

test("the lower figure of a car that is out is what is expected on return", () => {
  assert.equal(words(car(72, "estimated", "2026-11-25T17:30:00Z"), ENTERED), "Charge now: 78%, as you entered it; expected on return: 72%.");
});

test("at home another figure is the one that the plan starts from", () => {
  assert.equal(words(car(80, "estimated"), ENTERED), "Charge now: 78%, as you entered it; this plan starts from 80%, estimated, give or take 1 point.");
});

test("an entry that the plan does not know yet stands alone", () => {
  assert.equal(words(car(40, "not_known"), { percent: 78, read_at: "2026-11-25T12:10:00+00:00" }), "Charge now: 78%, as you entered it.");
});

test("an older entry is not the charge now", () => {
  const older = { percent: 78, read_at: "2026-11-25T07:00:00+00:00" };
  assert.equal(words(car(61, "estimated"), older), "Charge: 78%, as you entered it on Wed 25 Nov, 07:00; this plan starts from 61%, estimated, give or take 1 point.");
});

test("without an entry, or with one too old for the plan, the plan's own words stand", () => {
  assert.equal(words(car(61, "estimated"), null), "Charge now: 61%, estimated, give or take 1 point.");
  assert.equal(words(car(20, "not_known"), { percent: 78, read_at: "2026-10-25T12:00:00+00:00" }), "Charge now: 20%, not known, taken as the reserve.");
});
