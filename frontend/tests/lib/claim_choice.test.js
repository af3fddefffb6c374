/** Choosing many claims, and the view of them in the address. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { NONE, choose, chooseAll, chosenOf } from "../../app/lib/claim_choice.js";
import { readClaimQuery, writeClaimQuery } from "../../app/lib/claim_query.js";

/** @type {any[]} */
const ROWS = ["a", "b", "c", "d", "e"].map((id, place) => ({ id, version: place + 1, state: id === "c" ? "queried" : "sent", total_pence: 10 ** place }));
const idsOf = (/** @type {import("../../app/lib/claim_choice.js").Choice} */ choice) => [...choice.ids].sort().join("");

test("a range goes from the last one chosen, in either direction, past what cannot be approved", () => {
  const first = choose(NONE, ROWS, "b", true, false);
  assert.equal(idsOf(choose(first, ROWS, "e", true, true)), "bde");
  assert.equal(idsOf(choose(first, ROWS, "a", true, true)), "ab");
  const all = choose(first, ROWS, "e", true, true);
  assert.equal(idsOf(choose(all, ROWS, "d", false, true)), "b");
});

test("a range without a beginning is one claim", () => {
  assert.equal(idsOf(choose(NONE, ROWS, "d", true, true)), "d");
});

test("the count and the sum are those of what can still be approved", () => {
  assert.equal(idsOf(chooseAll(ROWS)), "abde");
  assert.deepEqual(chosenOf({ ids: new Set(["a", "c", "e", "gone"]), last: "" }, ROWS), {
    claims: [{ claim_id: "a", version: 1 }, { claim_id: "e", version: 5 }], count: 2, pence: 10_001,
  });
});

test("the view is read from the address and written back, and nonsense is dropped", () => {
  const read = (/** @type {string} */ text) => readClaimQuery(new URLSearchParams(text));
  assert.deepEqual(read("month=2026-11&state=sent"), { month: "2026-11", state: "sent" });
  assert.deepEqual(read("month=now&state=draft&page=-3"), { month: "", state: "" });
  assert.equal(writeClaimQuery(read("month=2026-11&state=sent")), "?month=2026-11&state=sent");
  assert.equal(writeClaimQuery(read("")), "");
});
