import assert from "node:assert/strict";
import { test } from "node:test";
import { daysWords, habitFields, habitsOf, habitValues } from "../../app/lib/habits.js";

/** @type {import("../../app/api/habit_types.d.ts").Habits} */
const HABITS = { swap_times: ["18:30", "22:00"], need_quantile_permille: 900, yearly_kwh: 3100, quiet_from: "23:00", quiet_until: "06:30" };

test("a share of days is said in days", () => {
  assert.deepEqual([500, 900, 950, 985, 999, 1000].map(daysWords), ["5 days in 10", "9 days in 10", "19 days in 20", "197 days in 200", "999 days in 1000", "every day"]);
});

test("what stands in the form is what the service gave", () => {
  assert.deepEqual(habitsOf(habitValues(HABITS)), HABITS);
  const bare = { swap_times: ["19:00"], need_quantile_permille: 1000, yearly_kwh: null, quiet_from: null, quiet_until: null };
  assert.deepEqual(habitsOf(habitValues(bare)), bare);
});

test("swap times are sent in the order of the day, each once, empty ones not", () => {
  const values = { ...habitValues(HABITS), swap_1: "22:00", swap_2: "", swap_3: "18:30" };
  assert.deepEqual(habitsOf(values).swap_times, ["18:30", "22:00"]);
  assert.deepEqual(habitsOf({ ...values, swap_3: "22:00" }).swap_times, ["22:00"]);
});

test("a share that is not offered stands among those that are", () => {
  const offered = habitFields({ ...HABITS, need_quantile_permille: 870 }).find(({ name }) => name === "need_quantile_permille")?.options ?? [];
  assert.ok(offered.some(({ value, label }) => value === "870" && label === "87 days in 100"));
});
