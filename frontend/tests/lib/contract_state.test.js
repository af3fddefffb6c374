import assert from "node:assert/strict";
import { test } from "node:test";
import { contractStep, endedContract, tariffWords } from "../../app/lib/contract_state.js";
import { plan } from "../plans.js";

const TODAY = "2026-11-25";
const contract = (/** @type {string} */ from, /** @type {string | null} */ until) =>
  ({ id: from, tariff_id: "t", tariff_name: "Harbour", starts_on: from, ends_on: until, clock: null, windows: [], exit_fee_pence: null, fixed_until_on: null });
const UNPRICED = plan([], { missing_prices: ["a period"] });

test("a contract has ended from its end on, unless another is in force", () => {
  assert.equal(endedContract([contract("2025-01-01", TODAY)], TODAY)?.id, "2025-01-01");
  assert.equal(endedContract([contract("2025-01-01", "2026-11-26")], TODAY), null);
  assert.equal(endedContract([contract("2025-01-01", TODAY), contract(TODAY, null)], TODAY), null);
  assert.equal(endedContract([], TODAY), null);
});

test("an ended tariff is not named as if it were in force", () => {
  assert.equal(tariffWords([contract("2025-01-01", "2026-11-20")], UNPRICED, TODAY), "No tariff is known for now: the contract for Harbour ended on 20 November 2026.");
  assert.equal(tariffWords([contract("2025-01-01", null)], UNPRICED, TODAY), "Tariff: Harbour.");
});

test("what to do is said where prices are missing because a contract ends", () => {
  assert.equal(contractStep([contract("2025-01-01", "2026-11-20")], UNPRICED, TODAY), "Ask your scheme to enter the tariff that holds now.");
  assert.match(contractStep([contract("2025-01-01", "2026-11-28")], UNPRICED, TODAY), /holds after that/);
  assert.equal(contractStep([contract("2025-01-01", "2026-11-28"), contract("2026-11-28", null)], UNPRICED, TODAY), "");
  assert.equal(contractStep([contract("2025-01-01", "2026-11-20")], plan([]), TODAY), "");
});
