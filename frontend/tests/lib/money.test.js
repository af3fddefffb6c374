import assert from "node:assert/strict";
import { test } from "node:test";
import { aboutChange, aboutPounds, differencePence, formatPounds, formatShortPrice, formatUnitPrice, wholePounds } from "../../app/lib/money.js";

test("pence are shown in pounds", () => {
  assert.equal(formatPounds("123.4"), "£1.23");
  assert.equal(formatPounds("2711.9"), "£27.12");
  assert.equal(formatPounds("-69.3"), "−£0.69");
  assert.equal(formatPounds("0"), "£0.00");
  assert.equal(formatPounds("-0.2"), "£0.00");
  assert.equal(formatPounds("123456789.5"), "£1,234,567.90");
});

test("an amount that is missing is not known, never nought", () => {
  assert.equal(formatPounds(null), "not known");
  assert.equal(formatPounds(undefined), "not known");
  assert.equal(differencePence("200", null), null);
});

test("unit prices keep their decimals", () => {
  assert.equal(formatUnitPrice("28.35"), "28.35p");
  assert.equal(formatUnitPrice("7"), "7p");
  assert.equal(formatUnitPrice("-1.5"), "−1.5p");
  assert.equal(formatShortPrice(9.354), "9.35p");
  assert.equal(formatShortPrice(-0.001), "0p");
});

test("a difference is exact to the last decimal sent", () => {
  assert.equal(differencePence("200.000001", "81"), "119.000001");
  assert.equal(differencePence("0.3", "0.1"), "0.2");
});

test("an estimate is in whole pounds, and its change is that of the figures shown", () => {
  const [before, after] = [wholePounds("10649.6"), wholePounds("10350")];
  assert.deepEqual([aboutPounds(before), aboutPounds(after), aboutChange(after, before)], ["about £106", "about £104", "about £2 less"]);
  assert.equal(aboutChange(before, after), "about £2 more");
  assert.equal(aboutChange(before, before), "about the same");
  assert.equal(aboutPounds(wholePounds("-420")), "about −£4");
  assert.deepEqual([aboutPounds(wholePounds(null)), aboutChange(null, 3)], ["not known", "not known"]);
});
