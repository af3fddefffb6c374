/** From answers to entries and back: "I do not know" survives, and what is not asked is not known. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { ASKED_LOADS, STEPS, UNKNOWN, answersOf, entriesOf, firstOpen, placeAfter, runAnswer, stepTitle } from "../../app/lib/survey_questions.js";

const { outlet, supply, lead, circuit } = STEPS;

test("every choice offers “I do not know”, and it is what nothing answered means", () => {
  for (const { questions } of Object.values(STEPS)) {
    for (const question of questions.filter(({ kind }) => kind === "choice")) {
      assert.ok(question.options?.some(({ value }) => value === UNKNOWN.value), question.name);
    }
    const values = entriesOf(questions, {});
    for (const { kind, name } of questions) {
      if (kind === "choice") assert.equal(values[name], UNKNOWN.value);
      if (["number", "text", "date"].includes(kind)) assert.equal(values[name], "");
    }
  }
});

test("an empty number, text and day are sent as not known", () => {
  const answers = answersOf(outlet.questions, entriesOf(outlet.questions, { kind: "charging_point", place: "outdoors" }), {});
  assert.deepEqual([answers.rated_a, answers.nights_a_week, answers.since_on, answers.ip_code, answers.is_tethered], [null, null, null, "", null]);
});

test("answers come back as they were", () => {
  const known = {
    kind: "charging_point", label: "drive", rated_a: 32, is_tethered: false, place: "outdoors", car_place: "outdoors", ip_code: "IP65", in_sun: "no",
    nights_a_week: 0, maker_model: "wall point", since_on: "2025-04-04", photo_ids: ["a"],
  };
  assert.deepEqual(answersOf(outlet.questions, entriesOf(outlet.questions, known), known), known);
});

test("a socket is not asked for a rating, nor a point for an EV mark", () => {
  const socket = answersOf(outlet.questions, entriesOf(outlet.questions, { kind: "socket_13a", rated_a: 32 }), {});
  assert.equal("rated_a" in socket, false);
  assert.equal(socket.ev_mark, "not_known");
  const point = answersOf(outlet.questions, entriesOf(outlet.questions, { kind: "charging_point" }), {});
  assert.equal("ev_mark" in point, false);
});

test("a load is none, some or not known, and the circuits that only an electrician knows stay", () => {
  const loads = [{ kind: "shower", power_w: 8500 }, { kind: "cooker", power_w: 0 }, { kind: "lighting", power_w: 1380 }];
  const values = entriesOf(supply.questions, { phases: 3, loads });
  assert.deepEqual([values.loads.shower, values.loads.cooker, values.loads.immersion], [{ has: "yes", kw: "8.5" }, { has: "no", kw: "" }, { has: UNKNOWN.value, kw: "" }]);
  const answers = answersOf(supply.questions, values, { loads });
  assert.equal(answers.phases, 3);
  const sent = /** @type {{ kind: string, power_w: number | null }[]} */ (answers.loads);
  assert.deepEqual(sent.filter(({ power_w }) => power_w !== null).sort((left, right) => left.kind.localeCompare(right.kind)),
    [{ kind: "cooker", power_w: 0 }, { kind: "lighting", power_w: 1380 }, { kind: "shower", power_w: 8500 }]);
  assert.equal(sent.length, ASKED_LOADS.length + 1);
});

test("a load that is there but of unknown power is not known", () => {
  const values = entriesOf(supply.questions, {});
  values.loads.shower = { has: "yes", kw: " " };
  const sent = /** @type {{ kind: string, power_w: number | null }[]} */ (answersOf(supply.questions, values, {}).loads);
  assert.equal(sent.find(({ kind }) => kind === "shower")?.power_w, null);
});

test("currents that a lead can be set to are read from a list, an IP code as people type it", () => {
  const values = { ...entriesOf(lead.questions, { kind: "mode_2", settings_a: [6, 8] }), settings_a: "6, 8 10" };
  assert.deepEqual(answersOf(lead.questions, values, {}).settings_a, [6, 8, 10]);
  const place = { ...entriesOf(outlet.questions, { place: "outdoors" }), ip_code: " ip 44" };
  assert.equal(answersOf(outlet.questions, place, {}).ip_code, "IP44");
});

test("runs are sent in order without their places", () => {
  const runs = [{ position: 0, kind: "board" }, { position: 1, kind: "ring" }];
  assert.deepEqual(answersOf(circuit.questions, entriesOf(circuit.questions, { runs }), {}).runs, [{ kind: "board" }, { kind: "ring" }]);
  assert.deepEqual(runAnswer({ position: 3, kind: "spur", length_m: null }), { kind: "spur", length_m: null });
});

/** @returns {any} */
const step = (/** @type {string} */ name, /** @type {string | null} */ item = null, isComplete = false) => ({ step: name, item_id: item, label: "", is_complete: isComplete });

test("the survey goes on at the first step that nobody saved", () => {
  assert.equal(firstOpen([step("home", null, true), step("supply"), step("lead")]), 1);
  assert.equal(firstOpen([step("home", null, true)]), 1);
});

test("after the first outlet comes its circuit, which its saving added", () => {
  const after = [step("home"), step("supply"), step("outlet", "o1", true), step("circuit", "o1"), step("lead")];
  assert.equal(placeAfter(after, { step: "outlet", item_id: null }), 3);
  assert.equal(placeAfter(after, { step: "circuit", item_id: "o1" }), 4);
});

test("a step is named after the thing it is about", () => {
  assert.equal(stepTitle({ ...step("lead"), label: "grey cable" }), "The lead: grey cable");
  assert.equal(stepTitle(step("home")), "Your home");
});
