/** Words for payback and costs, and pounds as people type them. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { costNote, paybackWords, penceOf } from "../../app/lib/upgrade_words.js";

/** @param {object} change @returns {any} */
const option = (change) => ({ payback_years: "5.56", pays_back: true, cost_pence: "1", is_quoted: false, is_cost_assumed: false, ...change });

test("years are told to a tenth, and never is told as never", () => {
  assert.equal(paybackWords(option({})), "5.6 years");
  assert.equal(paybackWords(option({ pays_back: false })), "5.6 years, too late");
  assert.equal(paybackWords(option({ payback_years: null, pays_back: false })), "never");
  assert.equal(paybackWords(option({ payback_years: "4000", pays_back: false })), "more than 100 years, too late");
  assert.equal(paybackWords(option({ pays_back: null })), "not known");
});

test("a cost tells where it comes from", () => {
  assert.equal(costNote(option({ is_quoted: true })), "your quote");
  assert.equal(costNote(option({ is_cost_assumed: true })), "assumed");
  assert.equal(costNote(option({ cost_pence: null })), "ask for a quote");
  assert.equal(costNote(option({})), "");
});

test("pounds become whole pence, and what is no amount stays for the service to refuse", () => {
  assert.deepEqual(["1150", "£1,150.5", " 0.05 ", "12.", "1.234", "a lot", "-5"].map(penceOf), ["115000", "115050", "5", "12.", "1.234", "a lot", "-5"]);
});
