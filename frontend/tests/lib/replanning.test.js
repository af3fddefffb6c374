import assert from "node:assert/strict";
import { test } from "node:test";
import { settledPlan } from "../../app/lib/replanning.js";

const BEFORE = { id: "p1", computed_at: "2026-11-25T12:00:00Z" };

test("the old plan while it is being worked out anew is not the answer", () => {
  assert.equal(settledPlan(BEFORE, { ...BEFORE, is_current: false }, 1_000), "not_yet");
  assert.equal(settledPlan(BEFORE, { ...BEFORE, is_current: true }, 1_000), "not_yet");
});

test("a current plan with a new identity or time is", () => {
  assert.equal(settledPlan(BEFORE, { ...BEFORE, id: "p2", is_current: true }, 1_000), "new");
  assert.equal(settledPlan(BEFORE, { ...BEFORE, computed_at: "2026-11-25T12:01:00Z", is_current: true }, 1_000), "new");
  assert.equal(settledPlan(BEFORE, { ...BEFORE, id: "p2", is_current: false }, 1_000), "not_yet");
});

test("a plan that stays current has not changed, one that stays old is late", () => {
  assert.equal(settledPlan(BEFORE, { ...BEFORE, is_current: true }, 4_000), "same");
  assert.equal(settledPlan(BEFORE, { ...BEFORE, is_current: false }, 90_000), "late");
});
