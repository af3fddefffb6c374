import assert from "node:assert/strict";
import { test } from "node:test";
import { bodyOf, differs, startValues } from "../../app/lib/form_values.js";

/** @type {import("../../app/lib/form_values.js").FieldSpec[]} */
const FIELDS = [
  { name: "label", label: "Name", kind: "text" },
  { name: "limit_a", label: "Limit", kind: "number" },
  { name: "miles", label: "Miles", kind: "decimal" },
  { name: "since_on", label: "Since", kind: "date", isNullable: true },
  { name: "is_new", label: "New", kind: "tick" },
  { name: "kind", label: "Kind", kind: "select", options: [{ value: "a", label: "A" }, { value: "b", label: "B" }] },
];

test("numbers are sent as numbers, decimals as the text typed, empty nullable entries as null", () => {
  const values = { label: " Garage ", limit_a: "10.5", miles: "21.10", since_on: "", is_new: true, kind: "b" };
  assert.deepEqual(bodyOf(FIELDS, values), { label: "Garage", limit_a: 10.5, miles: "21.10", since_on: null, is_new: true, kind: "b" });
});

test("an empty number is missing, not nought", () => assert.equal(bodyOf(FIELDS, { limit_a: "" }).limit_a, null));

test("a form starts with the resource's values, or the first choice", () => {
  assert.deepEqual(startValues(FIELDS, { label: "X", limit_a: 0, since_on: null, is_new: false, kind: "b" }), {
    label: "X", limit_a: "0", miles: "", since_on: "", is_new: false, kind: "b",
  });
  assert.equal(startValues(FIELDS).kind, "a");
});

test("two states differ when any value does", () => {
  assert.equal(differs({ a: [1, 2] }, { a: [1, 2] }), false);
  assert.equal(differs({ a: [1, 2] }, { a: [1, 3] }), true);
});
