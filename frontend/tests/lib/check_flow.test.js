/** The order of the check's questions, and what is looked at. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { answersBefore, answersToSend, leadsFor, nextQuestion, openIn, startPair, stopsIn } from "../../app/lib/check_flow.js";
import { QUESTIONS, checkedHome, lead, outlet } from "../checks.js";

const asked = (/** @type {Record<string, string>} */ given) => nextQuestion(QUESTIONS, given)?.question ?? null;

test("questions come one by one in their order, and none is left at the end", () => {
  assert.equal(asked({}), "scorch");
  assert.equal(asked({ scorch: "no" }), "smell");
  assert.equal(asked({ scorch: "no", smell: "not_known" }), "grip");
  assert.equal(asked({ scorch: "no", smell: "no", grip: "no" }), null);
});

test("after an answer that stops use nobody is asked to touch anything", () => {
  assert.equal(asked({ scorch: "no", smell: "yes" }), null);
  assert.deepEqual(stopsIn(QUESTIONS, { scorch: "no", smell: "yes" }).map(({ answer }) => answer.sign), ["burning_smell"]);
  assert.deepEqual(stopsIn(QUESTIONS, { scorch: "no", smell: "not_known" }), []);
});

test("what is not known stays open, and going back forgets what came after", () => {
  const given = { scorch: "no", smell: "not_known", grip: "no" };
  assert.deepEqual(openIn(QUESTIONS, given).map(({ question }) => question), ["smell"]);
  assert.deepEqual(answersBefore(QUESTIONS, given, "grip"), { scorch: "no", smell: "not_known" });
  assert.deepEqual(answersBefore(QUESTIONS, given, "scorch"), {});
});

test("answers are sent in the order asked, unknown ones left out", () => {
  assert.deepEqual(answersToSend(QUESTIONS, { smell: "yes", scorch: "no", grip: "maybe" }), [
    { question: "scorch", answer: "no" }, { question: "smell", answer: "yes" },
  ]);
});

test("a lead belongs to its kind of outlet, and none to one with its own cable", () => {
  const home = checkedHome({
    outlets: [outlet("garage"), outlet("post", { kind: "charging_point", is_tethered: true }), outlet("wall", { kind: "charging_point", is_tethered: false })],
    leads: [lead("long"), lead("loose", { kind: "mode_3_cable" })],
  });
  const ids = (/** @type {string} */ outletId) => leadsFor(home, outletId).map(({ id }) => id);
  assert.deepEqual([ids("garage"), ids("post"), ids("wall"), ids("none")], [["long"], [], ["loose"], []]);
});

test("one outlet and lead are chosen already; the address names others; several have to be chosen", () => {
  const none = new URLSearchParams();
  assert.deepEqual(startPair(checkedHome(), none), { outletId: "garage", leadId: "long" });
  const two = checkedHome({ outlets: [outlet("garage"), outlet("porch")], leads: [lead("long"), lead("short")] });
  assert.deepEqual(startPair(two, none), { outletId: "", leadId: "" });
  assert.deepEqual(startPair(two, new URLSearchParams("outlet=porch")), { outletId: "porch", leadId: "" });
  assert.deepEqual(startPair(two, new URLSearchParams("outlet=porch&lead=short")), { outletId: "porch", leadId: "short" });
  assert.deepEqual(startPair(two, new URLSearchParams("outlet=of-another-home")), { outletId: "", leadId: "" });
  const car = { id: "c", label: "c", ordinal: 1, battery_kwh: 1, miles_per_kwh: 1, onboard_limit_a: 32, onboard_phases: 1, ceiling_percent: 80, reserve_percent: 20, outlet_id: "porch", lead_id: "short", other_outlet_ids: [], taper_from_percent: null, standby_w: 0, port: /** @type {const} */ ("not_known") };
  assert.deepEqual(startPair({ ...two, vehicles: [car] }, new URLSearchParams("lead=short")), { outletId: "porch", leadId: "short" });
});
