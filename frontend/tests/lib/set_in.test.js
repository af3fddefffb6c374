import assert from "node:assert/strict";
import { test } from "node:test";
import { appendIn, removeIn, setIn } from "../../app/lib/set_in.js";

const WHOLE = { sheets: [{ bands: [{ name: "a" }, { name: "b" }] }], label: "x" };

test("one place is changed, the original is untouched, the rest is shared", () => {
  const changed = setIn(WHOLE, "sheets.0.bands.1.name", "c");
  assert.equal(changed.sheets[0].bands[1].name, "c");
  assert.equal(WHOLE.sheets[0].bands[1].name, "b");
  assert.equal(changed.sheets[0].bands[0], WHOLE.sheets[0].bands[0]);
});

test("items are added at the end and taken out by place", () => {
  assert.deepEqual(appendIn(WHOLE, "sheets.0.bands", { name: "c" }).sheets[0].bands.map(({ name }) => name), ["a", "b", "c"]);
  assert.deepEqual(removeIn(WHOLE, "sheets.0.bands.0").sheets[0].bands.map(({ name }) => name), ["b"]);
  assert.deepEqual(removeIn([1, 2, 3], "1"), [1, 3]);
  assert.deepEqual(appendIn([1], "", 2), [1, 2]);
});
