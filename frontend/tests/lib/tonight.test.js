import assert from "node:assert/strict";
import { test } from "node:test";
import { dayWords, headlineWords } from "../../app/lib/headline_words.js";
import { answerFor, nextTurn, tonightEndsMs, turnTotals } from "../../app/lib/tonight.js";
import { plan, stay, vehicle } from "../plans.js";

const LONDON = "Europe/London";
const EVENING = Date.parse("2026-11-25T18:00:00Z");

test("a block after midnight is tonight's answer", () => {
  const one = plan([vehicle("Hatchback", [stay([["2026-11-26T00:30:00Z", "2026-11-26T04:30:00Z"]])])]);
  const answer = answerFor(one, EVENING);
  assert.equal(answer.kind, "plug_in");
  assert.deepEqual(headlineWords(answer, one, EVENING), { main: "Plug in by 00:30", below: ["Tonight, early on Thu 26 Nov"] });
});

test("a running block says to be plugged in until it ends", () => {
  const one = plan([vehicle("Hatchback", [stay([["2026-11-25T17:30:00Z", "2026-11-25T21:00:00Z"]])])]);
  assert.equal(headlineWords(answerFor(one, EVENING), one, EVENING).main, "Be plugged in now, until 21:00");
});

test("with nothing before the next noon the answer is nothing, and the next turn is named", () => {
  const one = plan([vehicle("Hatchback", [stay([["2026-11-27T00:30:00Z", "2026-11-27T04:30:00Z"]])])]);
  const words = headlineWords(answerFor(one, EVENING), one, EVENING);
  assert.equal(words.main, "Nothing to plug in for tonight");
  assert.deepEqual(words.below, ["Next: Hatchback, plug in by 00:30 in the night to Friday"]);
});

test("a plan without blocks says that none is planned", () => {
  const one = plan([vehicle("Hatchback", [stay([])])]);
  assert.deepEqual(headlineWords(answerFor(one, EVENING), one, EVENING).below, ["No charging is planned in the next seven days."]);
});

test("a car that must not charge leads the headline, and its times from an older plan are left out", () => {
  const two = plan([
    vehicle("Van", [stay([["2026-11-25T22:00:00Z", "2026-11-26T03:00:00Z"]])]),
    vehicle("Estate", [stay([["2026-11-26T03:00:00Z", "2026-11-26T05:00:00Z"]])]),
  ]);
  const bars = [{ vehicle: two.vehicles[0], what: "Do not charge at the Garage", nextStep: "Have it put right." }];
  assert.deepEqual(headlineWords(answerFor(two, EVENING, bars), two, EVENING), {
    main: "Do not charge at the Garage", below: ["Van: Have it put right.", "Estate: plug in by 03:00 tonight"],
  });
});

test("a stopped plan says since when, and that a new one is being worked out until it is there", () => {
  const stopped = plan([vehicle("Van", [stay([])])], { is_stopped: true, stopped_at: "2026-11-25T17:05:00Z", is_current: false });
  const words = headlineWords(answerFor(stopped, EVENING), stopped, EVENING);
  assert.deepEqual(words, { main: "Charging is stopped", below: ["Since Wed 25 Nov, 17:05.", "A new plan is being worked out."] });
  const settled = { ...stopped, is_current: true };
  assert.deepEqual(headlineWords(answerFor(settled, EVENING), settled, EVENING).below, ["Since Wed 25 Nov, 17:05."]);
});

test("a night shift's charging by day is not put off to the evening", () => {
  const morning = Date.parse("2026-11-25T08:10:00Z");
  const one = plan([vehicle("Van", [stay([["2026-11-25T10:00:00Z", "2026-11-25T13:00:00Z"]])])]);
  assert.deepEqual(headlineWords(answerFor(one, morning), one, morning), { main: "Plug in by 10:00", below: ["Today, Wed 25 Nov"] });
});

test("several cars are listed in the order in which they plug in, and resting ones counted", () => {
  const three = plan([
    vehicle("Estate", [stay([["2026-11-26T03:00:00Z", "2026-11-26T05:00:00Z"]])]),
    vehicle("Van", [stay([["2026-11-25T22:00:00Z", "2026-11-26T03:00:00Z"]])]),
    vehicle("Red one", [stay([["2026-11-28T01:00:00Z", "2026-11-28T02:00:00Z"]])]),
  ]);
  const words = headlineWords(answerFor(three, EVENING), three, EVENING);
  assert.equal(words.main, "Plug in by 22:00");
  assert.deepEqual(words.below, [
    "Today, Wed 25 Nov", "Van: plug in by 22:00 today", "Estate: plug in by 03:00 tonight", "1 other car has nothing to do tonight",
  ]);
});

test("blocks that are over are left out of a turn", () => {
  const car = vehicle("Hatchback", [stay([["2026-11-25T13:00:00Z", "2026-11-25T14:00:00Z"], ["2026-11-26T01:00:00Z", "2026-11-26T02:00:00Z"]])]);
  const turn = nextTurn(car, EVENING, LONDON);
  assert.equal(turn.blocks.length, 1);
  assert.deepEqual(turnTotals(turn), { energyKwh: 5, costPence: "40.5" });
});

test("a turn with one block of unknown cost has no known cost", () => {
  const car = vehicle("Hatchback", [stay([["2026-11-26T01:00:00Z", "2026-11-26T02:00:00Z"], ["2026-11-26T03:00:00Z", "2026-11-26T04:00:00Z"]])]);
  car.stays[0].blocks[1].cost_pence = null;
  assert.equal(turnTotals(nextTurn(car, EVENING, LONDON)).costPence, null);
});

test("before four in the morning tonight ends at the same day's noon", () => {
  assert.equal(tonightEndsMs(Date.parse("2026-11-26T02:00:00Z"), LONDON), Date.parse("2026-11-26T12:00:00Z"));
  assert.equal(tonightEndsMs(Date.parse("2026-11-26T09:00:00Z"), LONDON), Date.parse("2026-11-27T12:00:00Z"));
});

test("over the autumn change tonight still ends at the local noon", () => {
  assert.equal(tonightEndsMs(Date.parse("2026-10-24T18:00:00Z"), LONDON), Date.parse("2026-10-25T12:00:00Z"));
});

test("the small hours belong to the night before", () => {
  assert.equal(dayWords("2026-11-26T00:30:00Z", EVENING, LONDON), "tonight");
  assert.equal(dayWords("2026-11-26T07:30:00Z", EVENING, LONDON), "tomorrow");
  assert.equal(dayWords("2026-11-25T19:00:00Z", EVENING, LONDON), "today");
  assert.equal(dayWords("2026-11-29T00:30:00Z", EVENING, LONDON), "in the night to Sunday");
});
