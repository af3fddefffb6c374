/** The steps of the supervised first charge by the clock. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { allowedCurrents, isUnderWay, stepState, waitWords } from "../../app/lib/first_charge.js";
import { supervised } from "../checks.js";

const at = (/** @type {string} */ time) => Date.parse(`2026-11-25T${time}:00Z`);
const ZONE = "Europe/London";

test("the first step waits for half an hour, and its button says when", () => {
  const charge = supervised();
  assert.equal(stepState(charge, "first", at("12:29")), "wait");
  assert.equal(waitWords(charge, "first", at("12:07"), ZONE), "From 12:30, in 23 min");
  assert.equal(stepState(charge, "first", at("12:30")), "due");
  assert.equal(stepState(charge, "later", at("15:00")), "wait", "not before the first");
});

test("the second step waits for two hours after the start", () => {
  const charge = supervised({ state: "later_to_come", first_felt_at: "2026-11-25T12:31:00Z", first_answer: "cool" });
  assert.deepEqual([stepState(charge, "first", at("13:00")), stepState(charge, "later", at("13:59"))], ["done", "wait"]);
  assert.equal(waitWords(charge, "later", at("12:31"), ZONE), "From 14:00, in 1 h 29 min");
  assert.equal(stepState(charge, "later", at("14:00")), "due");
});

test("only an open one is under way", () => {
  const states = /** @type {const} */ (["first_to_come", "later_to_come", "clear", "stopped", "lapsed"]);
  assert.deepEqual(states.filter((state) => isUnderWay(supervised({ state }))), ["first_to_come", "later_to_come"]);
});

test("at most 10 A, and no more than outlet and lead may carry", () => {
  assert.deepEqual(allowedCurrents(32, null), [6, 7, 8, 9, 10]);
  assert.deepEqual(allowedCurrents(10, 8), [6, 7, 8]);
  assert.deepEqual(allowedCurrents(10, 5), []);
});
