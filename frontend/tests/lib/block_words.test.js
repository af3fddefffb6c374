import assert from "node:assert/strict";
import { test } from "node:test";
import { nextBestWords, priceWords, whyWords } from "../../app/lib/block_words.js";

/** @param {Partial<import("../../app/api/types.d.ts").PlanBlockWhy>} more */
const why = (more) => ({
  binding: /** @type {const} */ ("need"), serves_leaves_at: "2026-11-26T07:10:00Z", lowest_price_pence: "8.1", highest_price_pence: "8.1", next_best_pence: "21.5", ...more,
});

test("a charging time names the departure it serves and what decides its amount", () => {
  assert.match(whyWords(why({}), "Europe/London"), /^For .*26 Nov.* 07:10: just what that takes, and the reserve\.$/);
  assert.match(whyWords(why({ serves_leaves_at: null, binding: "price" }), "Europe/London"), /^For no journey in view: the price is below nothing/);
});

test("prices are a figure, a range, or not known", () => {
  assert.equal(priceWords(why({})), "8.1p");
  assert.equal(priceWords(why({ highest_price_pence: "9.25" })), "8.1p to 9.25p");
  assert.equal(priceWords(why({ lowest_price_pence: null, highest_price_pence: null })), "not known");
});

test("the next best costs more, the same, or is not there", () => {
  assert.equal(nextBestWords(why({})), "£0.22 more");
  assert.equal(nextBestWords(why({ next_best_pence: "0" })), "the same");
  assert.equal(nextBestWords(why({ next_best_pence: null })), "none left");
});
