/** What is asked of a home that might be, and how its answers are said. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { bodyFor, changedWeek, faultFieldsOf, fieldsOf, questionsFor, startOf } from "../../app/lib/what_if_questions.js";
import { worthWords, yearWords } from "../../app/lib/what_if_words.js";

const DEPARTURE = { weekday: 0, leaves_at: "07:30", returns_at: "17:00", returns_days_later: 0, miles: "40" };
const SATURDAY = { ...DEPARTURE, weekday: 5, miles: "12" };
const home = /** @type {any} */ ({
  supply: { fuse_a: 60, phases: 1 },
  outlets: [{ id: "o1", label: "garage socket", kind: "socket_13a", is_tethered: null }],
  leads: [{ id: "l1", label: "cable", kind: "mode_3_cable" }, { id: "l2", label: "lead", kind: "mode_2" }],
  vehicles: [{ id: "c1", label: "estate", reserve_percent: 25 }],
  contracts: [{ tariff_id: "t1" }],
});
const known = { home, tariffs: [{ id: "t1", name: "Alder" }, { id: "t2", name: "Beech" }], routines: { c1: [DEPARTURE, SATURDAY] } };

test("only questions that make sense for the home are asked", () => {
  assert.deepEqual(questionsFor(known), ["routine", "second_car", "tariff", "outlet", "supply", "limits"]);
  const bare = { ...known, tariffs: [], home: { ...home, vehicles: [], outlets: [] } };
  assert.deepEqual(questionsFor(bare), ["supply"]);
});

test("a new commute replaces the trips of its days and leaves the others", () => {
  const values = { days: "workdays", leaves_at: "06:00", returns_at: "19:00", miles: "90" };
  const week = changedWeek([DEPARTURE, SATURDAY], values);
  assert.deepEqual(week.map(({ weekday, miles }) => [weekday, miles]), [[0, "90"], [1, "90"], [2, "90"], [3, "90"], [4, "90"], [5, "12"]]);
  const driven = changedWeek([DEPARTURE, SATURDAY], { ...values, days: "driven" });
  assert.deepEqual(driven.map(({ weekday, miles }) => [weekday, miles]), [[0, "90"], [5, "90"]]);
});

test("a trip that returns before it leaves returns on the next day", () => {
  const [night] = changedWeek([], { days: "all", leaves_at: "21:00", returns_at: "06:00", miles: "30" });
  assert.equal(night.returns_days_later, 1);
});

test("every form starts filled in, so that comparing takes a few taps, and what is left alone can be sent", () => {
  for (const question of questionsFor(known)) {
    const start = startOf(question, known);
    for (const field of fieldsOf(question, known)) {
      if (field.isRequired) assert.notEqual(start[field.name] ?? "", "", `${question} ${field.name}`);
    }
    const { label, changes } = bodyFor(question, known, start);
    assert.ok(label);
    assert.deepEqual(Object.keys(changes), [question]);
  }
});

test("what is sent says the change as the service reads it", () => {
  assert.deepEqual(bodyFor("outlet", known, startOf("outlet", known)).changes.outlet,
    { outlet_id: "o1", kind: "charging_point", limit_a: 32, phases: 1, control: "schedule" });
  assert.deepEqual(bodyFor("tariff", known, startOf("tariff", known)).changes.tariff, { tariff_id: "t2" });
  assert.deepEqual(bodyFor("supply", known, startOf("supply", known)).changes.supply, { fuse_a: 80, phases: 1 });
  assert.deepEqual(bodyFor("limits", known, startOf("limits", known)).changes.limits,
    { vehicle_id: "c1", ceiling_percent: 100, reserve_percent: 25 });
  const second = /** @type {any} */ (bodyFor("second_car", known, startOf("second_car", known)).changes.second_car);
  assert.deepEqual([second.lead_id, second.outlet_id, second.battery_kwh, second.miles_per_kwh], ["l2", "o1", 50, "3.5"]);
});

test("a fault of the service is shown beside the field that was filled in", () => {
  assert.equal(faultFieldsOf("outlet")["changes.outlet.kind"], "becomes");
  assert.equal(faultFieldsOf("routine")["changes.routine.departures.3.miles"], "miles");
  assert.equal(faultFieldsOf("supply")["changes.supply.fuse_a"], "fuse_a");
});

test("a year is said in whole pounds and in what is short, never with a price that is not known", () => {
  assert.equal(yearWords({ saved_pence: "12034.5", closed_kwh: 0 }), "about £120 less");
  assert.equal(yearWords({ saved_pence: "-300", closed_kwh: 52 }), "about £3 more, 52 kWh less short");
  assert.equal(yearWords({ saved_pence: "0", closed_kwh: -5.2 }), "about the same cost, 5.2 kWh more short");
  assert.equal(yearWords({ saved_pence: "20", closed_kwh: 0 }), "about the same");
  assert.equal(yearWords({ saved_pence: null, closed_kwh: 0 }), "cost not known");
});

test("what would change is said with what it is now", () => {
  const item = /** @type {any} */ ({ kind: "more_current", label: "garage socket", before: 10, after: 32 });
  assert.equal(worthWords(item), "A charging point at 32 A instead of 10 A: garage socket");
  assert.equal(worthWords({ ...item, kind: "bigger_fuse", label: "", before: 60, after: 80 }), "A fuse of 80 A instead of 60 A");
  assert.equal(worthWords({ ...item, kind: "full_ceiling", label: "estate", before: 80, after: 100 }), "Charging to 100% instead of 80%: estate");
});
