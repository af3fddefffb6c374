import assert from "node:assert/strict";
import { test } from "node:test";
import { swapTime, tonightsTurns } from "../../app/lib/turns.js";
import { plan } from "../plans.js";

/**
 * @param {string} label
 * @param {string} starts
 * @param {string} ends
 */
const turn = (label, starts, ends) => ({
  starts_at: starts, ends_at: ends, outlet_id: "o", outlet_label: "Garage", vehicle_id: label, label, reason: null,
});

const TURNS = [
  turn("Estate", "2026-11-25T12:30:00Z", "2026-11-25T19:00:00Z"),
  turn("Runabout", "2026-11-25T19:00:00Z", "2026-11-26T19:00:00Z"),
  turn("Estate", "2026-11-26T19:00:00Z", "2026-11-27T19:00:00Z"),
];

test("tonight belongs to the turn that holds the coming midnight, from its swap on", () => {
  const now = Date.parse("2026-11-25T13:00:00Z");
  const [found, ...others] = tonightsTurns(plan([], { turns: TURNS }), now);
  assert.equal(others.length, 0);
  assert.equal(found.label, "Runabout");
  assert.equal(swapTime(found, now, "Europe/London"), "19:00");
});

test("after the swap no time is told any more", () => {
  const now = Date.parse("2026-11-25T21:00:00Z");
  const [found] = tonightsTurns(plan([], { turns: TURNS }), now);
  assert.equal(found.label, "Runabout");
  assert.equal(swapTime(found, now, "Europe/London"), null);
});

test("a turn that ends before midnight is not tonight's", () => {
  const now = Date.parse("2026-11-25T13:00:00Z");
  assert.deepEqual(tonightsTurns(plan([], { turns: TURNS.slice(0, 1) }), now), []);
});
