import assert from "node:assert/strict";
import { test } from "node:test";
import { dayLayout } from "../../app/charts/day_layout.js";

/** @type {import("../../app/api/types.d.ts").Band[]} */
const BANDS = [
  { name: "Night", price_pence_per_kwh: "10", is_otherwise: false, windows: [{ starts_at: "00:00", ends_at: "06:00", day_kinds: ["weekday"], months: [1] }] },
  { name: "Peak", price_pence_per_kwh: "40", is_otherwise: false, windows: [{ starts_at: "05:30", ends_at: "12:00", day_kinds: ["weekday"], months: [1] }] },
];

test("height is price, gaps and overlaps are marked and said in words", () => {
  const { parts, baseY } = dayLayout(BANDS, "weekday", 1, 960);
  assert.deepEqual(parts.map((part) => part.kind), ["band", "overlap", "band", "gap"]);
  assert.equal(parts[2].height / parts[0].height, 4);
  assert.equal(parts[0].y + parts[0].height, baseY);
  assert.equal(parts[1].words, "05:30 to 06:00: Night and Peak overlap");
  assert.equal(parts[3].words, "12:00 to 24:00: no band, a gap");
});

test("a price not yet entered is said, not drawn as nought pence", () => {
  const { parts } = dayLayout([{ ...BANDS[0], price_pence_per_kwh: "" }], "weekday", 1, 960);
  assert.equal(parts[0].words, "00:00 to 06:00: Night, price not entered");
});
