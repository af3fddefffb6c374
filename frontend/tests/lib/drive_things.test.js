import assert from "node:assert/strict";
import { test } from "node:test";
import { emptyDrawing, withThing, withValue } from "../../app/lib/drive_drawing.js";
import { thingsOf } from "../../app/lib/drive_things.js";

/** @typedef {import("../../app/api/drive_types.d.ts").Drawing} Drawing */

/** @type {[any, [number, number], [number, number]][]} */
const TAPS = [
  ["wall", [1, 2], [9, 2]], ["door", [2, 2], [3, 2]], ["stretch", [4, 2], [8, 2]], ["place", [6, 8], [6, 3]], ["lawn", [0, 5], [2, 9]],
  ["tank", [8, 2], [8, 2]], ["consumer_unit", [2, 2], [2, 2]],
];
const DRAWING = TAPS.reduce((drawing, [tool, start, end]) => /** @type {Drawing} */ (withThing(drawing, tool, start, end).drawing), emptyDrawing());

test("everything that is drawn is in the list by name", () => {
  assert.deepEqual(thingsOf(emptyDrawing()), []);
  assert.deepEqual(thingsOf(DRAWING).map(({ name }) => name),
    ["Wall 1", "Door", "Part of a wall where an outlet may go", "Place 1", "Lawn", "Gas or oil tank", "Consumer unit"]);
});

test("every value in the list can be changed there and is read back", () => {
  for (const { list, index, name, fields } of thingsOf(DRAWING)) {
    assert.ok(fields.length > 0, name);
    fields.forEach((field, place) => {
      const value = field.kind === "number" ? 1.7 : field.kind === "text" ? "Renamed" : "garage";
      const changed = thingsOf(withValue(DRAWING, list, index, field.path, value));
      const same = changed.find((thing) => thing.list === list && thing.index === index);
      assert.equal(same?.fields[place].value, value, `${name}: ${field.label}`);
    });
  }
});
