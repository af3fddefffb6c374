/** The verdict on a lead in words. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { addressQuery, closerWords, hoursWords, marginWords, recoveryWords, shareWords } from "../../app/lib/lead_words.js";

test("a share that is there at all is never told as none", () => {
  assert.deepEqual([0, 0.1, 9.9, 23.8, 100].map(shareWords), ["none", "0.1%", "9.9%", "24%", "100%"]);
});

test("only what is asked goes into the address", () => {
  assert.equal(addressQuery({}), "");
  assert.equal(addressQuery({ plugInAt: "22:00", longMiles: " 140 " }), "?plug_in_at=22%3A00&long_miles=140");
});

test("a remedy says what it leaves, or that it changes nothing", () => {
  const closer = { kind: "raise_ceiling", words: "", night_percent: 2, week_percent: 12.4, would_close: false, note: "", working: [] };
  assert.equal(closerWords(closer, 20), "Then 2% of nights and 12% of weeks fall short.");
  assert.equal(closerWords({ ...closer, night_percent: 20 }, 20), "Makes no difference.");
  assert.equal(closerWords({ ...closer, night_percent: 0 }, 20), "No night falls short any more.");
  assert.equal(closerWords({ ...closer, kind: "public_charge" }, 20), "Covers each day that falls short.");
});

test("hours, margins and nights after a journey", () => {
  assert.deepEqual([45, 240, 255].map(hoursWords), ["45 min", "4 h", "4 h 15 min"]);
  const answer = /** @type {any} */ ({ driven_miles: "51", margin_miles: "42.6" });
  assert.equal(marginWords(answer), "on average 42.6 more than you drive (51 a day in your diary); single days can still be too long");
  assert.match(marginWords({ ...answer, margin_miles: "-3" }), /^on average 3\.0 fewer than you drive/);
  assert.match(recoveryWords(2), /after 2 nights/);
  assert.match(recoveryWords(null), /do not bring/);
});
