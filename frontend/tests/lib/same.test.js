import assert from "node:assert/strict";
import { test } from "node:test";
import { markOf, saysSame } from "../../app/lib/same.js";

test("the order of names says nothing, the order of a list does", () => {
  assert.equal(saysSame({ a: 1, b: { c: [1, 2], d: null } }, { b: { d: null, c: [1, 2] }, a: 1 }), true);
  assert.equal(saysSame({ a: [1, 2] }, { a: [2, 1] }), false);
  assert.equal(saysSame(null, {}), false);
});

test("a mark is equal where the values are, and differs where they do", () => {
  assert.equal(markOf({ a: "0.61", b: 1 }), markOf({ b: 1, a: "0.61" }));
  const marks = Array.from({ length: 2000 }, (_, place) => markOf({ zs_ohm: `0.${place}` }));
  assert.equal(new Set(marks).size, 2000);
});
