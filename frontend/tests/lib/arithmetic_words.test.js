/** Exact decimals as people read them. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { exactAmps, exactVolts, refusalWords } from "../../app/lib/arithmetic_words.js";

test("exact numbers are rounded to hundredths for reading alone", () => {
  assert.deepEqual(["36.95652173913", "10", "0.8100"].map(exactAmps), ["36.96 A", "10 A", "0.81 A"]);
  assert.equal(exactVolts("4.672"), "4.67 V");
});

test("a refused value names its place, itself and the rule", () => {
  const words = refusalWords({ field: "runs.0.size_mm2", value: "3.5", rule: "must be one of the sizes" });
  assert.equal(words, "runs 1 size mm2, 3.5: must be one of the sizes");
});
