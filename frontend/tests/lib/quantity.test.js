import assert from "node:assert/strict";
import { test } from "node:test";
import { counted, formatAmps, formatEnergy, formatMiles, formatPercent } from "../../app/lib/quantity.js";

test("quantities carry their unit, and what is missing is not known", () => {
  assert.equal(formatEnergy(14.26), "14.3 kWh");
  assert.equal(formatEnergy(0), "0 kWh");
  assert.equal(formatPercent(79.6), "80%");
  assert.equal(formatAmps(10), "10 A");
  assert.equal(formatMiles("1.2"), "1 mile");
  for (const format of [formatEnergy, formatPercent, formatAmps]) assert.equal(format(null), "not known");
});

test("counts agree with their nouns", () => {
  assert.equal(counted(1, "home"), "1 home");
  assert.equal(counted(1200, "home"), "1,200 homes");
});
