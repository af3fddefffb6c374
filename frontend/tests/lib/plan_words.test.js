import assert from "node:assert/strict";
import { test } from "node:test";
import { inputName } from "../../app/lib/plan_words.js";

test("a working's input is named in words, with its unit", () => {
  assert.deepEqual(["inspected_on", "limit_a", "energy_kwh", "lead as set"].map(inputName), ["inspected on", "limit (A)", "energy (kWh)", "lead as set"]);
});
