/** Carbon in words. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { kgWords, monthWords, periodOptions, periodQuery, rangeWords, savedWords } from "../../app/lib/carbon_words.js";

test("kilograms have one decimal, and what is not known is said so", () => {
  assert.equal(kgWords(1966.94), "1,966.9 kg");
  assert.equal(kgWords(0), "0.0 kg");
  assert.equal(kgWords(null), "not known");
});

test("less and more are words, never a sign alone", () => {
  assert.equal(savedWords(12.34), "12.3 kg less");
  assert.equal(savedWords(-3), "3.0 kg more");
  assert.equal(savedWords(0.04), "about the same");
  assert.equal(savedWords(null), "not known");
});

test("the range is told by small and large car, or not at all", () => {
  /** @type {import("../../app/api/carbon_types.d.ts").PetrolCar[]} */
  const cars = [{ size: "small", emitted_kg: 2, saved_kg: -1 }, { size: "large", emitted_kg: 9, saved_kg: 6 }];
  assert.equal(rangeWords(cars), "1.0 kg more beside a small one, 6.0 kg less beside a large one");
  assert.equal(rangeWords([{ size: "small", emitted_kg: null, saved_kg: null }]), "not known");
});

test("periods are the usual one and calendar years, as the service takes them", () => {
  assert.deepEqual(periodOptions("2026-11-25", "Usual").map(({ value }) => value), ["", "2026", "2025", "2024"]);
  assert.deepEqual(periodQuery("2025"), { from_on: "2025-01-01", to_on: "2026-01-01" });
  assert.deepEqual(periodQuery(""), {});
  assert.deepEqual(periodQuery("soon"), {});
  assert.equal(monthWords("2026-10-01"), "October 2026");
});
