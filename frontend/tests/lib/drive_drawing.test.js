import assert from "node:assert/strict";
import { test } from "node:test";
import { emptyDrawing, onWall, snapped, withoutThing, withThing, withValue } from "../../app/lib/drive_drawing.js";

/** @typedef {import("../../app/api/drive_types.d.ts").Drawing} Drawing */

/**
 * A drawing made with taps, one after the other.
 * @param {[any, [number, number], [number, number]][]} taps
 * @returns {Drawing}
 */
function drawn(...taps) {
  return taps.reduce((drawing, [tool, start, end]) => {
    const { drawing: next, fault } = withThing(drawing, tool, start, end);
    assert.equal(fault, undefined);
    return /** @type {Drawing} */ (next);
  }, emptyDrawing());
}

test("a tap is meant for the grid, inside the sheet, and for the end of a wall that is near", () => {
  const drawing = drawn(["wall", [1.3, 2], [9, 2]]);
  assert.deepEqual(snapped(drawing, [4.26, 5.74], 0.5), [4.5, 5.5]);
  assert.deepEqual(snapped(drawing, [4.26, 5.74], 0.1), [4.3, 5.7]);
  assert.deepEqual(snapped(drawing, [-3, 99], 0.5), [0, 12]);
  assert.deepEqual(snapped(drawing, [1.5, 2.2], 0.5), [1.3, 2]);
});

test("each tool adds its thing", () => {
  const drawing = drawn(
    ["wall", [1, 2], [9, 2]], ["place", [6, 8], [6, 3]], ["path", [2, 2], [3, 9]], ["gas_meter", [8, 2], [8, 2]], ["consumer_unit", [2, 2], [2, 2]],
    ["door", [3, 2.2], [2, 2]], ["stretch", [4, 2], [8, 2.1]],
  );
  assert.deepEqual(drawing.walls, [{ start: [1, 2], end: [9, 2], left: "outdoors", right: "outdoors" }]);
  assert.deepEqual(drawing.places, [{ label: "Place 1", start: [6, 8], end: [6, 3], width_m: 2.4 }]);
  assert.deepEqual(drawing.areas, [{ kind: "path", corners: [[2, 2], [3, 2], [3, 9], [2, 9]] }]);
  assert.deepEqual(drawing.marks, [{ kind: "gas_meter", at: [8, 2] }]);
  assert.deepEqual(drawing.consumer_unit, [2, 2]);
  assert.deepEqual(drawing.openings, [{ wall: 0, from_m: 1, to_m: 2, kind: "door" }]);
  assert.deepEqual(drawing.stretches, [{ wall: 0, from_m: 3, to_m: 7 }]);
});

test("what cannot be meant is said in words and changes nothing", () => {
  const drawing = drawn(["wall", [1, 2], [9, 2]]);
  for (const [tool, start, end] of /** @type {[any, [number, number], [number, number]][]} */ ([
    ["wall", [1, 1], [1, 1]], ["place", [1, 1], [1, 2]], ["path", [1, 1], [1, 5]], ["door", [5, 9], [6, 9]], ["door", [5, 2], [5, 2]],
  ])) {
    const { drawing: next, fault } = withThing(drawing, tool, start, end);
    assert.equal(next, undefined);
    assert.ok((fault ?? "").length > 20, tool);
  }
});

test("the nearest wall is found with how far along it, never beyond its end", () => {
  const drawing = drawn(["wall", [0, 0], [3, 4]], ["wall", [9, 0], [9, 5]]);
  assert.deepEqual(onWall(drawing, [1.5, 2]), { wall: 0, offset_m: 2.5 });
  assert.deepEqual(onWall(drawing, [9, 6]), { wall: 1, offset_m: 5 });
  assert.equal(onWall(drawing, [6, 9]), null);
});

test("a wall that is deleted takes its doors with it, and the others keep theirs", () => {
  const drawing = drawn(["wall", [0, 0], [5, 0]], ["wall", [5, 0], [5, 5]], ["door", [1, 0], [2, 0]], ["window", [5, 2], [5, 3]]);
  const rest = withoutThing(drawing, "walls", 0);
  assert.deepEqual(rest.openings, [{ wall: 0, from_m: 2, to_m: 3, kind: "window" }]);
  assert.equal(withoutThing({ ...drawing, consumer_unit: [1, 1] }, "consumer_unit", 0).consumer_unit, null);
  assert.equal(drawing.openings.length, 2);
});

test("one value of one thing is changed by its path", () => {
  const drawing = drawn(["wall", [0, 0], [5, 0]], ["path", [1, 1], [2, 2]]);
  assert.deepEqual(withValue(drawing, "walls", 0, ["end", 1], 3).walls[0].end, [5, 3]);
  assert.equal(withValue(drawing, "walls", 0, ["left"], "garage").walls[0].left, "garage");
  assert.deepEqual(withValue(drawing, "areas", 0, ["corners", 2, 0], 4).areas[0].corners[2], [4, 2]);
  assert.deepEqual(withValue({ ...drawing, consumer_unit: [1, 1] }, "consumer_unit", 0, [0], 2).consumer_unit, [2, 1]);
  assert.deepEqual(drawing.walls[0].end, [5, 0]);
});
