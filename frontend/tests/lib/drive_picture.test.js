import assert from "node:assert/strict";
import { test } from "node:test";
import { emptyDrawing } from "../../app/lib/drive_drawing.js";
import { carBox, labelsOf, middleOf, placeBox, pointOn, pointsText } from "../../app/lib/drive_picture.js";

test("left is that of somebody who walks along the line, with y down the page", () => {
  assert.deepEqual(pointOn([0, 5], [0, 0], 2, 1), [-1, 3]);
  assert.deepEqual(pointOn([0, 0], [4, 0], 1, 1), [1, -1]);
});

test("a car stands in the middle of its place and never sticks out of it", () => {
  const place = { label: "a", start: /** @type {[number, number]} */ ([0, 0]), end: /** @type {[number, number]} */ ([6, 0]), width_m: 2.4 };
  assert.equal(pointsText(placeBox(place)), "0,-1.2 6,-1.2 6,1.2 0,1.2");
  assert.equal(pointsText(carBox(emptyDrawing(), place)), "0.75,-0.95 5.25,-0.95 5.25,0.95 0.75,0.95");
  assert.equal(pointsText(carBox({ ...emptyDrawing(), car_length_m: 7, car_width_m: 3 }, place)), "0,-1.2 6,-1.2 6,1.2 0,1.2");
  assert.deepEqual(middleOf([[0, 0], [6, 2]]), [3, 1]);
});

test("no word lies over another or over a marked place", () => {
  const drawing = { ...emptyDrawing(), marks: [
    { kind: /** @type {const} */ ("tank"), at: /** @type {[number, number]} */ ([3, 3]) }, { kind: /** @type {const} */ ("tank"), at: /** @type {[number, number]} */ ([3.4, 3]) },
    { kind: /** @type {const} */ ("gas_meter"), at: /** @type {[number, number]} */ ([9, 3]) },
  ] };
  assert.deepEqual(labelsOf(drawing).map(({ words }) => words), ["tank", "gas"]);
  assert.deepEqual(labelsOf(drawing, [[9, 2.5]]).map(({ words }) => words), ["tank"]);
});
