/** Appliances from form to service and back, and what moving one adds in words. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { applianceOf, moveSum, newRow, rowFields, rowOf } from "../../app/lib/appliance_words.js";

test("what a form leaves empty is left to the book", () => {
  assert.deepEqual(applianceOf(newRow("dishwasher")), {
    kind: "dishwasher", label: "", runs_a_week: 5, run_kwh: null, power_w: null, run_minutes: null, usual_start: null,
  });
});

test("an appliance comes back as it was stated", () => {
  const stated = /** @type {const} */ ({ kind: "own", label: "Kiln", runs_a_week: 2, run_kwh: 5.5, power_w: 2500, run_minutes: 150, usual_start: "10:00" });
  assert.deepEqual(applianceOf(rowOf(stated)), stated);
  assert.equal(applianceOf({ ...rowOf(stated), run_kwh: "5,5" }).run_kwh, 5.5);
});

test("one of your own needs its figures, the others may have them", () => {
  const required = (/** @type {string} */ kind) => rowFields(kind).filter(({ isRequired }) => isRequired).map(({ name }) => name);
  assert.deepEqual(required("dishwasher"), ["runs_a_week"]);
  assert.deepEqual(required("own"), ["label", "runs_a_week", "run_kwh", "power_w", "run_minutes"]);
});

test("only what is suggested has a saving", () => {
  const item = { kind: "dishwasher", label: "Dishwasher", headline: "", usual_start: "19:00", start: null, runs_a_week: 5, yearly_cost_pence: null, barriers: [], figures: [], working: [] };
  const sum = (/** @type {any} */ more) => moveSum({ ...item, ...more });
  assert.equal(sum({ move: "move", yearly_saving_pence: "5590" }), "Saves £55.90 a year");
  assert.equal(sum({ move: "stay", yearly_saving_pence: "0" }), "Leave it where it is");
  assert.equal(sum({ move: "not_suggested", yearly_saving_pence: null }), "Not suggested");
  assert.equal(sum({ move: "not_known", yearly_saving_pence: null }), "Not known");
});
