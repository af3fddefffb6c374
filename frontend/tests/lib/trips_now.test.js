import assert from "node:assert/strict";
import { test } from "node:test";
import { movedReturn, tripsNow } from "../../app/lib/trips_now.js";

const ZONE = "Europe/London";
const NOON = Date.parse("2026-11-25T12:00:00Z"); // a Wednesday
const at = (/** @type {string} */ text) => Date.parse(text);

/** @param {number} weekday @param {string} leaves @param {string} returns @param {string} miles */
const line = (weekday, leaves, returns, miles, later = 0) => ({ weekday, leaves_at: leaves, returns_at: returns, returns_days_later: later, miles });
const COMMUTE = [0, 1, 2, 3, 4].map((day) => line(day, "07:15", "17:30", "46"));

/** @returns {import("../../app/api/types.d.ts").Journey} */
const journey = (/** @type {string} */ leaves, /** @type {string} */ returns, replaces = true) => ({
  id: "j", leaves_at: leaves, returns_at: returns, miles: "120", note: "", is_important: true, replaces_routine: replaces,
});

test("the trip under way is found, and the days around it are not", () => {
  const found = tripsNow(COMMUTE, [], NOON, ZONE);
  assert.deepEqual(found.map(({ leavesMs, returnsMs }) => [leavesMs, returnsMs]), [[at("2026-11-25T07:15Z"), at("2026-11-25T17:30Z")]]);
  assert.deepEqual(tripsNow(COMMUTE, [], at("2026-11-25T18:00Z"), ZONE), []);
});

test("a trip of several days is still under way, and a night shift from yesterday", () => {
  assert.equal(tripsNow([line(0, "06:00", "20:00", "300", 3)], [], NOON, ZONE).length, 1);
  assert.equal(tripsNow([line(1, "21:00", "13:00", "20", 1)], [], NOON, ZONE).length, 1);
});

test("a journey that takes the routine's place is the trip, one beside it is a second", () => {
  const instead = journey("2026-11-25T09:00:00Z", "2026-11-25T20:00:00Z");
  assert.deepEqual(tripsNow(COMMUTE, [instead], NOON, ZONE).map(({ journey: dated }) => dated?.id), ["j"]);
  const beside = journey("2026-11-25T19:00:00Z", "2026-11-25T22:00:00Z", false);
  assert.deepEqual(tripsNow(COMMUTE, [beside], NOON, ZONE).map(({ journey: dated }) => dated?.id), [undefined, "j"]);
});

test("a later return becomes a journey in place of that day's routine, with the same miles", () => {
  const known = { routine: COMMUTE, journeys: [], nowMs: NOON, zone: ZONE };
  const { others, moved } = movedReturn(tripsNow(COMMUTE, [], NOON, ZONE)[0], at("2026-11-25T21:10Z"), known);
  assert.deepEqual(others, []);
  assert.deepEqual(moved, {
    leaves_at: "2026-11-25T07:15:00+00:00", returns_at: "2026-11-25T21:10:00+00:00", miles: "46", note: "back later than usual",
    is_important: false, replaces_routine: true,
  });
});

test("what else leaves that day is kept, and what is over keeps its miles", () => {
  const routine = [line(2, "06:00", "07:00", "4.5"), line(2, "10:00", "14:00", "30"), line(2, "18:00", "19:00", "12")];
  const [under, evening] = tripsNow(routine, [], NOON, ZONE);
  const { others, moved } = movedReturn(under, at("2026-11-25T15:00Z"), { routine, journeys: [], nowMs: NOON, zone: ZONE });
  assert.deepEqual(others.map(({ leaves_at: leaves, miles, replaces_routine: replaces }) => [leaves, miles, replaces]), [["2026-11-25T18:00:00+00:00", "12", false]]);
  assert.equal(moved.miles, "34.5");
  assert.equal(evening.miles, "12");
});

test("back after midnight, the next day's trip is kept too", () => {
  const [trip] = tripsNow(COMMUTE, [], NOON, ZONE);
  const { others } = movedReturn(trip, at("2026-11-26T00:40Z"), { routine: COMMUTE, journeys: [], nowMs: NOON, zone: ZONE });
  assert.deepEqual(others.map(({ leaves_at: leaves }) => leaves), ["2026-11-26T07:15:00+00:00"]);
  const atMidnight = movedReturn(trip, at("2026-11-26T00:00Z"), { routine: COMMUTE, journeys: [], nowMs: NOON, zone: ZONE });
  assert.deepEqual(atMidnight.others, []);
});

test("a dated journey is itself changed, and keeps what it says", () => {
  const dated = journey("2026-11-25T09:00:00Z", "2026-11-25T20:00:00Z");
  const [trip] = tripsNow(COMMUTE, [dated], NOON, ZONE);
  const { others, moved } = movedReturn(trip, at("2026-11-25T16:00Z"), { routine: COMMUTE, journeys: [dated], nowMs: NOON, zone: ZONE });
  assert.deepEqual(others, []);
  assert.deepEqual(moved, { leaves_at: dated.leaves_at, returns_at: "2026-11-25T16:00:00+00:00", miles: "120", note: "", is_important: true, replaces_routine: true });
});
