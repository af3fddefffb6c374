import assert from "node:assert/strict";
import { test } from "node:test";
import { priceLabels, pricePaths, priceRuns, textWidth } from "../../app/charts/price_layout.js";
import { chargingRuns, halfHourAt, laneLetter, weekLayout } from "../../app/charts/week_layout.js";
import { week } from "../plans.js";

const PLAIN = week("2026-11-25T00:00:00+00:00", [{ on: "2026-11-25", count: 48 }, { on: "2026-11-26", count: 48 }]);
const AUTUMN = week("2026-10-23T23:00:00+00:00", [{ on: "2026-10-24", count: 48 }, { on: "2026-10-25", count: 50 }, { on: "2026-10-26", count: 48 }]);
const SPRING = week("2026-03-28T00:00:00+00:00", [{ on: "2026-03-28", count: 48 }, { on: "2026-03-29", count: 46 }]);

test("nothing is drawn beyond the width, from 320 px to 1600 px", () => {
  for (const sample of [PLAIN, AUTUMN, SPRING]) {
    for (let width = 320; width <= 1600; width += 80) {
      const layout = weekLayout(sample, width);
      for (const strip of layout.strips) {
        assert.ok(strip.right <= width && strip.left >= 0);
        for (const bar of strip.lanes.flatMap((lane) => lane.bars)) {
          assert.ok(bar.x >= strip.left - 0.01 && bar.x + bar.width <= strip.right + 0.01);
          assert.ok(bar.text === "" || textWidth(bar.text) <= bar.width);
        }
        for (const label of strip.prices) assert.ok(label.x - textWidth(label.text) / 2 >= -0.01 && label.x + textWidth(label.text) / 2 <= width + 0.01);
      }
    }
  }
});

test("a 25-hour day is as much longer, and says why", () => {
  const [saturday, sunday] = weekLayout(AUTUMN, 1000).strips;
  const ratio = (sunday.right - sunday.left) / (saturday.right - saturday.left);
  assert.ok(Math.abs(ratio - 50 / 48) < 1e-9);
  assert.equal(sunday.remark, "25 hours: the clocks change");
  assert.equal(saturday.remark, "");
});

test("the hours of a clock-change day stand at their true places", () => {
  const { strips, slotWidth, plotLeft } = weekLayout(AUTUMN, 1000);
  const six = strips[1].ticks.find((tick) => tick.text === "06:00");
  assert.equal(Math.round(((six?.x ?? 0) - plotLeft) / slotWidth), 14);
  const spring = weekLayout(SPRING, 1000);
  const springSix = spring.strips[1].ticks.find((tick) => tick.text === "06:00");
  assert.equal(Math.round(((springSix?.x ?? 0) - spring.plotLeft) / spring.slotWidth), 10);
});

test("a first day that has begun is drawn at its end", () => {
  const late = week("2026-11-25T18:00:00+00:00", [{ on: "2026-11-25", count: 12 }, { on: "2026-11-26", count: 48 }]);
  const { strips } = weekLayout(late, 1000);
  assert.ok(Math.abs(strips[0].right - strips[1].right) < 0.01);
  assert.ok(strips[0].left > strips[1].left);
});

test("strips do not overlap and the height holds them all", () => {
  const layout = weekLayout(PLAIN, 360);
  assert.ok(layout.strips[1].top > layout.strips[0].axisY);
  assert.ok(layout.height > layout.strips[1].axisY);
});

test("runs of charging are joined, gaps kept", () => {
  assert.deepEqual(chargingRuns([0, 1, 1, 0, 2], 0, 5), [{ first: 1, end: 3, energyKwh: 2 }, { first: 4, end: 5, energyKwh: 2 }]);
  assert.deepEqual(chargingRuns([1, 1], 1, 1), [{ first: 1, end: 2, energyKwh: 1 }]);
});

test("a negative price is drawn below nought, and an unknown one leaves a gap", () => {
  const runs = [
    { first: 0, end: 2, price: 10, isKnown: true }, { first: 2, end: 4, price: 0, isKnown: false }, { first: 4, end: 6, price: -5, isKnown: true },
  ];
  const paths = pricePaths(runs, (place) => place * 10, (price) => 100 - price);
  assert.equal(paths.line, "M0.0 90.0H20.0M40.0 105.0H60.0");
  assert.match(paths.area, /M40\.0 100\.0V105\.0/);
});

test("unknown half-hours are one run whatever their stand-in price", () => {
  const sample = week("2026-11-25T00:00:00+00:00", [{ on: "2026-11-25", count: 48 }]);
  sample.is_price_known = sample.is_price_known.map((_, place) => place < 10);
  assert.deepEqual(priceRuns(sample, 0, 48).map(({ first, end, isKnown }) => [first, end, isKnown]), [[0, 1, true], [1, 10, true], [10, 48, false]]);
});

test("with many prices only the lowest and highest are labelled, never on top of each other", () => {
  const runs = Array.from({ length: 48 }, (_, place) => ({ first: place, end: place + 1, price: place === 20 ? 3 : place === 21 ? 40 : 20, isKnown: true }));
  const labels = priceLabels(runs, (place) => place * 7, (price) => 60 - price, { left: 0, right: 336 });
  assert.deepEqual(labels.map((label) => label.text), ["3p", "40p"]);
  const flat = priceLabels(runs, (place) => place * 7, () => 30, { left: 0, right: 336 });
  assert.equal(flat.length, 1);
});

test("a point is read as its half-hour", () => {
  const layout = weekLayout(PLAIN, 1000);
  const strip = layout.strips[1];
  assert.equal(halfHourAt(layout, strip.left + layout.slotWidth * 3.5, strip.top + 20), 48 + 3);
  assert.equal(halfHourAt(layout, strip.left - 5, strip.top + 20), null);
  assert.equal(halfHourAt(layout, 10, layout.height + 50), null);
});

test("cars get letters only when there are several", () => {
  assert.equal(laneLetter(0, 1), "");
  assert.equal(laneLetter(1, 2), "B");
});
