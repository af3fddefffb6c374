import assert from "node:assert/strict";
import { test } from "node:test";
import { barWords, barsOf } from "../../app/lib/bars.js";
import { clearance, home, plan, stay, vehicle } from "../plans.js";

const NIGHT = [stay([["2026-11-26T00:30:00Z", "2026-11-26T04:30:00Z"]])];
const words = (/** @type {import("../../app/api/types.d.ts").Plan} */ one, /** @type {import("../../app/api/types.d.ts").Household | null} */ known) =>
  barWords(barsOf(one, known), one, known);

test("only an outlet that is cleared lets its car charge, without any shortfall too", () => {
  const one = plan([vehicle("Hatchback", NIGHT)]);
  const count = (/** @type {import("../../app/api/types.d.ts").ClearanceWord} */ word) => barsOf(one, home({ clearances: [clearance(word)] })).length;
  assert.deepEqual(["fit_to_use", "use_with_limits", "do_not_use", "not_known"].map((word) => count(/** @type {any} */ (word))), [0, 0, 1, 1]);
});

test("the headline names the outlet, and the clearance's own next step follows with its days in words", () => {
  const one = plan([vehicle("Hatchback", NIGHT)]);
  const known = home({ clearances: [clearance("do_not_use", { next_step: "Put right before 2026-12-01." })] });
  assert.deepEqual(words(one, known), { main: "Do not charge at the Garage", below: ["Put right before 1 December 2026."] });
});

test("a car without an outlet, at a home with a cleared one, is named", () => {
  const one = plan([{ ...vehicle("Van", []), outlet_id: null, outlet_label: null, limit_a: null }]);
  assert.equal(words(one, home({ clearances: [clearance("fit_to_use")] })).main, "No outlet is known for Van");
});

test("with no outlet, or several of which none is cleared, nothing here may be used", () => {
  const bare = plan([{ ...vehicle("Van", []), outlet_id: null, outlet_label: null, limit_a: null }]);
  assert.equal(words(bare, home()).main, "No outlet here may be used yet");
  const one = plan([vehicle("Hatchback", [])]);
  const known = home({ clearances: [clearance("not_known"), clearance("do_not_use", { outlet_id: "p", outlet_label: "Drive" })] });
  assert.deepEqual(words(one, known), { main: "No outlet here may be used yet", below: ["Do not charge at the Garage. Have it looked at."] });
});

test("a lead that may not be used is named where the outlet is cleared", () => {
  const car = { ...vehicle("Van", []), limit_a: null };
  const recorded = /** @type {any} */ ({ id: "Van", lead_id: "l" });
  const lead = { lead_id: "l", lead_label: "Black lead", clearance: /** @type {const} */ ("do_not_use"), limit_a: null, evidence: "", missing: [], next_step: "Do not use it.", working: [] };
  const known = home({ clearances: [clearance("fit_to_use")], vehicles: [recorded], lead_clearances: [lead] });
  assert.deepEqual(words(plan([car]), known), { main: "Do not charge with the Black lead", below: ["Do not use it."] });
  assert.equal(words(plan([car]), home({ clearances: [clearance("fit_to_use")] })).main, "The current for Van is not known");
});

test("without the home's standing the plan's own shortfall still bars the car", () => {
  const car = vehicle("Van", []);
  assert.deepEqual(barsOf(plan([car]), null), []);
  car.shortfalls = [{ leaves_at: "2026-11-26T07:30:00Z", short_kwh: 5, short_miles: 20, is_reserve_only: false, cause: "no_usable_outlet", next_step: "See what is missing." }];
  assert.deepEqual(words(plan([car]), null), { main: "Do not charge at the Garage", below: ["See what is missing."] });
});
