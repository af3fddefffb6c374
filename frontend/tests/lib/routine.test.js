import assert from "node:assert/strict";
import { test } from "node:test";
import { copiedDay, departuresOn, newDeparture, routineFaults, sortedDepartures } from "../../app/lib/routine.js";

/**
 * @param {number} weekday
 * @param {string} leaves
 * @param {string} [returns]
 */
const trip = (weekday, leaves, returns = "18:00") => ({ weekday, leaves_at: leaves, returns_at: returns, returns_days_later: 0, miles: "20" });

test("a day's departures keep their place in the whole list", () => {
  const found = departuresOn([trip(1, "09:00"), trip(0, "07:00"), trip(0, "12:00")], 0);
  assert.deepEqual(found.map(({ index }) => index), [1, 2]);
});

test("Monday copied over the week replaces what was there and keeps the weekend", () => {
  const copied = copiedDay([trip(0, "07:00"), trip(2, "11:00"), trip(6, "15:00")], 0, [0, 1, 2, 3, 4]);
  assert.deepEqual(copied.map(({ weekday, leaves_at }) => [weekday, leaves_at]), [[0, "07:00"], [1, "07:00"], [2, "07:00"], [3, "07:00"], [4, "07:00"], [6, "15:00"]]);
});

test("an empty Monday copied empties the days", () => assert.deepEqual(copiedDay([trip(3, "07:00")], 0, [0, 1, 2, 3, 4]), []));

test("the list is sent in the order of the week", () => {
  assert.deepEqual(sortedDepartures([trip(4, "07:00"), trip(0, "12:00"), trip(0, "07:00")]).map((one) => one.weekday + one.leaves_at), ["007:00", "012:00", "407:00"]);
});

test("a return that is not after the departure is pointed at, a later day is not", () => {
  const same = trip(0, "18:00", "07:00");
  assert.deepEqual(Object.keys(routineFaults([same])), ["departures.0.returns_at"]);
  assert.deepEqual(routineFaults([{ ...same, returns_days_later: 1 }]), {});
});

test("miles must be a number", () => {
  for (const miles of ["", " ", "many", "-3"]) assert.deepEqual(Object.keys(routineFaults([{ ...trip(0, "07:00"), miles }])), ["departures.0.miles"]);
});

test("a new trip is like the last one", () => assert.equal(newDeparture([trip(0, "06:15")], 3).leaves_at, "06:15"));
