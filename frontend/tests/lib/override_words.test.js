/** When a due date can be put off, as the form says before the service does. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { bookedVisits, daysAfter, inspectionDueOn, itemLabel, whyNotPutOff } from "../../app/lib/override_words.js";
import { checkedHome } from "../checks.js";

const TODAY = "2026-11-25";
const counting = { outlet_id: "garage", inspected_on: "2025-12-01", next_due_on: "2026-12-01", accepted_at: "2025-12-02T09:00:00Z", superseded_at: null, refused_at: null, is_partial: false };
const home = (/** @type {object[]} */ ...inspections) => checkedHome({ inspections: /** @type {any} */ (inspections) });
const visit = (/** @type {object} */ more) => /** @type {any} */ ({ id: "v", state: "date_agreed", outlet_ids: ["garage"], agreed_on: "2026-12-10", ...more });

test("the due date is that of the newest inspection that counts", () => {
  const later = { ...counting, inspected_on: "2026-05-01", next_due_on: "2027-05-01" };
  assert.equal(inspectionDueOn(home(counting, later), "garage"), "2027-05-01");
  for (const more of [{ accepted_at: null }, { superseded_at: "2026-06-01T09:00:00Z" }, { refused_at: "2026-06-01T09:00:00Z" }, { is_partial: true }, { outlet_id: "porch" }]) {
    assert.equal(inspectionDueOn(home(counting, { ...later, ...more }), "garage"), "2026-12-01", JSON.stringify(more));
  }
  assert.equal(inspectionDueOn(home(), "garage"), "");
});

test("only a visit to this outlet with a day to come is booked", () => {
  const others = [visit({ state: "asked" }), visit({ outlet_ids: ["porch"] }), visit({ agreed_on: "2026-11-24" }), visit({ agreed_on: null })];
  assert.deepEqual(bookedVisits([...others, visit({ id: "good" })], "garage", TODAY).map(({ id }) => id), ["good"]);
});

test("what cannot be put off says why", () => {
  assert.match(whyNotPutOff("", [visit({})], TODAY), /Not known stays not known/);
  assert.match(whyNotPutOff(TODAY, [visit({})], TODAY), /has come already/);
  assert.match(whyNotPutOff("2026-12-01", [], TODAY), /Agree one first/);
  assert.equal(whyNotPutOff("2026-12-01", [visit({})], TODAY), "");
});

test("days are counted over the end of a month, and an item that is gone is named so", () => {
  assert.equal(daysAfter("2026-12-25", 14), "2027-01-08");
  assert.equal(itemLabel(home(), "nothing"), "An item no longer recorded");
});
