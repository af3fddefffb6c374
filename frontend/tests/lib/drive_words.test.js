import assert from "node:assert/strict";
import { test } from "node:test";
import { driveFieldWords, PORT_WORDS, positionWords, reachRows, tapWords } from "../../app/lib/drive_words.js";

const REACH = {
  car_id: "c", car_label: "Blue", place: 0, place_label: "By the door", way: /** @type {const} */ ("nose_in"), is_usual: true, is_reached: true,
  is_crossing: false, ground_m: 2.5, needed_m: 4.6, cable_m: 5, route: [], passes: [],
};
const POSITION = /** @type {import("../../app/api/drive_types.d.ts").Position} */ ({
  wall: 1, side: "left", face: "garage", offset_m: 2.25, at: [1, 1], cars_reached: 1, ways_reached: 1, crossings: 0, ground_m: 2.5, run_m: null,
  cautions: [], why: "", reaches: [
    { ...REACH, place: 1, place_label: "Road side", is_usual: false, is_reached: false, needed_m: null },
    { ...REACH, passes: ["a path", "in front of a door"] },
  ],
});

test("the next tap is said", () => {
  assert.equal(tapWords("wall", false, false), "Wall: tap where the wall starts.");
  assert.equal(tapWords("lawn", true, false), "Lawn: tap the opposite corner.");
  assert.equal(tapWords("gas_meter", false, true), "Gas meter: tap where it is.");
});

test("a position is said for somebody with a tape measure", () => {
  assert.equal(positionWords(POSITION), "Wall 2, 2.25 m from where it starts, on its left side, in the garage");
});

test("reach is said row by row, the places reckoned with first, and what is too far has no number", () => {
  const rows = reachRows(POSITION);
  assert.deepEqual(rows.map(({ place }) => place), ["By the door", "Road side (instead)"]);
  assert.equal(rows[0].answer, "Reaches, lying across a path and in front of a door");
  assert.deepEqual([rows[1].answer, rows[1].needed], ["Does not reach", "further than any cable here"]);
});

test("a fault of the drawing is named as people know it", () => {
  assert.equal(driveFieldWords("drawing.walls.0.end"), "Wall 1");
  assert.equal(driveFieldWords("drawing.outlet_height_m"), "outlet height");
  assert.equal(driveFieldWords("drawing.walls"), "Walls");
  assert.equal(driveFieldWords("label"), "Name of the drawing");
});

test("every port has its words", () => {
  assert.equal(Object.values(PORT_WORDS).filter(Boolean).length, 7);
});
