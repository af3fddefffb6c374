/** The words around a stop: numbers that ring, what an incident stops, what is kept to be read again, what comes next. */
import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import "../dom.js";
import { CAUTIONS } from "../../app/lib/caution_words.js";
import { CONTACT_HEAT } from "../../app/lib/contact_heat.js";
import { incidentEntry, incidentGroups, stopWords, whatToAsk } from "../../app/lib/incident_groups.js";
import { firstStep, leadSteps, outletSteps } from "../../app/lib/next_steps.js";
import { phoneParts } from "../../app/lib/phone_lines.js";
import { keepStopAnswer, keptStopAnswer, noteStopAnswerRead, stopAnswerBefore, stopAnswerOf, unreadStopAnswer } from "../../app/lib/stop_answer.js";
import { TABLE, checkedHome, lead, outlet, report, sign } from "../checks.js";
import { clearance } from "../plans.js";

afterEach(() => localStorage.clear());

test("numbers in a line ring, and only as whole numbers", () => {
  assert.deepEqual(phoneParts("Ring 105, or 999 if hurt.", ["105", "999"]), [
    { text: "Ring ", number: null }, { text: "105", number: "105" }, { text: ", or ", number: null },
    { text: "999", number: "999" }, { text: " if hurt.", number: null },
  ]);
  assert.deepEqual(phoneParts("Ring 03457 643 643.", ["03457 643 643"])[1], { text: "03457 643 643", number: "03457643643" });
  assert.deepEqual(phoneParts("1050 and 2105", ["105"]), [{ text: "1050 and 2105", number: null }]);
});

test("incidents stand in groups, every one once, each with what it stops", () => {
  const groups = incidentGroups(TABLE.signs);
  assert.deepEqual(groups.map(({ name }) => name), ["seen", "lead", "outlet", "home"]);
  assert.equal(groups.flatMap(({ signs }) => signs).length, TABLE.signs.length);
  assert.equal(stopWords(sign("warm")), "Stops that outlet and the lead");
  assert.equal(stopWords(sign("tingle", { outlets: "home" })), "Stops every outlet of your home and the lead");
  assert.equal(stopWords(sign("lead_knocked", { outlets: "none" })), "Stops the lead");
  assert.match(stopWords(sign("x", { effect: "not_known", acts_on_lead: false })), /^No charging at that outlet until/);
});

test("the one outlet and lead are named by themselves, an unsure answer names none", () => {
  const one = checkedHome();
  assert.deepEqual(whatToAsk(sign("warm"), one), { outlet: false, lead: false });
  const entry = { sign: "warm", note: "", outlet_id: "garage", lead_id: "long" };
  assert.deepEqual(incidentEntry(sign("warm"), one, { outletId: "", leadId: "" }), entry);
  const two = checkedHome({ outlets: [outlet("garage"), outlet("porch")], leads: [lead("long"), lead("short")] });
  assert.deepEqual(whatToAsk(sign("lead_knocked", { outlets: "none" }), two), { outlet: false, lead: true });
  assert.deepEqual(incidentEntry(sign("warm"), two, { outletId: "porch", leadId: "" }), { ...entry, outlet_id: "porch", lead_id: null });
});

test("a stop answer is kept for its own home, first as the device knows it, then as the service said", () => {
  const before = stopAnswerBefore("h1", TABLE, "tingle", { path: "/incidents", body: {}, key: "k" });
  keepStopAnswer(before);
  assert.deepEqual(keptStopAnswer("h1")?.doNow, ["Touch nothing.", "Ring your electricity network: 105. It is on your bill."]);
  assert.equal(keptStopAnswer("h2"), null);
  const after = stopAnswerOf("h1", TABLE, ["Do this."], [report("warm"), report("warm")]);
  assert.deepEqual([after.seen, after.stopped.length, after.stopped[0].lifts], [["Words of warm"], 1, "an inspection"]);
  localStorage.setItem("plugward-stop-answer", "{broken");
  assert.equal(keptStopAnswer("h1"), null);
});

test("a kept answer comes first until it was read, and for as long as its report was not sent", () => {
  keepStopAnswer(stopAnswerOf("h1", TABLE, ["Do this."], [report("warm")]));
  assert.equal(unreadStopAnswer("h2"), null);
  assert.deepEqual(unreadStopAnswer("h1")?.doNow, ["Do this."]);
  noteStopAnswerRead("h1");
  assert.equal(unreadStopAnswer("h1"), null);
  assert.deepEqual(keptStopAnswer("h1")?.doNow, ["Do this."], "it can be read again");
  keepStopAnswer(stopAnswerBefore("h1", TABLE, "tingle", { path: "/incidents", body: {}, key: "k" }));
  noteStopAnswerRead("h1");
  assert.equal(unreadStopAnswer("h1")?.unsent?.key, "k");
});

test("what is missing leads to the step that a member can take", () => {
  const kinds = (/** @type {any} */ word, /** @type {string[]} */ needs) => outletSteps({ outlet_id: "o", clearance: word, needs }).map(({ kind }) => kind);
  assert.deepEqual(kinds("fit_to_use", []), ["check"]);
  assert.deepEqual(kinds("do_not_use", ["stop_lifted"]), ["ask_visit"]);
  assert.deepEqual(kinds("not_known", ["inspection"]), ["ask_visit", "survey"]);
  assert.deepEqual(kinds("not_known", ["supervised_charge", "check"]), ["first_charge"]);
  assert.deepEqual(kinds("not_known", ["check"]), ["check"]);
  assert.deepEqual(kinds("not_known", ["acceptance"]), [], "somebody else has to act");
  assert.deepEqual(leadSteps({ lead_id: "l", clearance: "do_not_use", needs: ["stop_lifted"] }), []);
  assert.equal(leadSteps({ lead_id: "l", clearance: "not_known", needs: ["check"] })[0].href, "/check?lead=l");
});

test("Today leads to the first step, and to the standing where it opens there", () => {
  const home = (/** @type {string[]} */ needs) => checkedHome({ clearances: [clearance("not_known", { outlet_id: "garage", needs })] });
  assert.deepEqual(firstStep(home(["check"])), { label: "Do the check", href: "/check?outlet=garage" });
  assert.deepEqual(firstStep(home(["inspection"])), { label: "Ask for an inspection", href: "/outlets" });
  assert.deepEqual(firstStep(null), { label: "See what is missing", href: "/outlets" });
});

test("the picture's figures follow the square of the current", () => {
  for (const { current_a: amps, power_w: power, ratio } of CONTACT_HEAT) {
    assert.ok(Math.abs(power - amps * amps * 0.05) < 1e-9 && Math.abs(ratio - (amps / 10) ** 2) < 1e-9, `${amps} A`);
  }
  assert.equal(Object.keys(CAUTIONS).length, 15);
});
