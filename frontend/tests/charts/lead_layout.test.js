/** The lead's chart. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { leadLayout, SHOWN_NIGHTS } from "../../app/charts/lead_layout.js";

const night = (/** @type {number} */ need, given = 20, on = "2026-11-01") => ({ on, miles: "1", need_kwh: need, given_kwh: given, need_minutes: 1, plugged_minutes: 1 });

test("a bar is as high as its day's need is of the most, and one beyond its night is marked", () => {
  const { bars, baseY, topY, most } = leadLayout([night(10), night(40), night(0)], 360);
  assert.equal(most, 40);
  assert.deepEqual(bars.map(({ height }) => height / (baseY - topY)), [0.25, 1, 0]);
  assert.deepEqual(bars.map(({ isBeyond }) => isBeyond), [false, true, false]);
});

test("no bar leaves the drawing and none covers another, at any width", () => {
  for (const width of [280, 328, 1200]) {
    const { bars } = leadLayout(Array.from({ length: 60 }, () => night(5)), width);
    assert.equal(bars.length, SHOWN_NIGHTS);
    bars.forEach((bar, place) => {
      assert.ok(bar.x + bar.width <= width);
      if (place > 0) assert.ok(bar.x >= bars[place - 1].x + bars[place - 1].width);
    });
  }
});

test("the line steps at what each night gives", () => {
  const { line, baseY } = leadLayout([night(1, 40), night(1, 0)], 160);
  const points = line.split(" ").map((point) => point.split(",").map(Number));
  assert.deepEqual(points.map(([x]) => x), [60, 110, 110, 160]);
  assert.equal(points[3][1], baseY);
});
