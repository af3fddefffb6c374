import assert from "node:assert/strict";
import { test } from "node:test";
import { changedQuery, isFiltered, readHouseholdQuery, sumRows, writeHouseholdQuery } from "../../app/lib/household_query.js";

const read = (/** @type {string} */ text) => readHouseholdQuery(new URLSearchParams(text));

test("an address read and written again is the same", () => {
  for (const text of ["", "?search=ann+b", "?clearance=do_not_use&overdue=true&sort=-week_cost&page=3", "?tariff_id=t1&shortfall=true"]) {
    assert.equal(writeHouseholdQuery(read(text)), text);
  }
});

test("nonsense in the address becomes the plain list", () => {
  assert.equal(writeHouseholdQuery(read("?sort=password&page=-4&shortfall=maybe")), "");
});

test("a new filter goes back to the first page, turning the page does not", () => {
  const query = read("?page=4&search=x");
  assert.equal(changedQuery(query, { clearance: "not_known" }).page, 1);
  assert.equal(changedQuery(query, { page: 5 }).page, 5);
  assert.equal(isFiltered(query), true);
  assert.equal(isFiltered(read("?sort=week_cost")), false);
});

test("sums leave out what is not known and count it", () => {
  const row = { week_energy_kwh: 10, week_cost_pence: "100.5", week_on_arrival_cost_pence: "300", week_short_kwh: 2 };
  const unknown = { week_energy_kwh: null, week_cost_pence: null, week_on_arrival_cost_pence: null, week_short_kwh: null };
  const rows = /** @type {any[]} */ ([row, row, unknown]);
  assert.deepEqual(sumRows(rows), { energyKwh: 20, costPence: "201", onArrivalPence: "600", shortKwh: 4, unknownCount: 1 });
});
