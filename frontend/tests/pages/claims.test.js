/** Claims on screen, against answers of the service: what is asked before money moves, and what is said when it cannot. */
import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import { clear, draw, one, settle } from "../dom.js";

const { html } = await import("htm/preact");
const { ApprovalReport, ClaimsBulk } = await import("../../app/pages/reimbursement/claims_bulk.js");
const { ClaimsTable } = await import("../../app/pages/reimbursement/claims_table.js");
const { MonthPreview } = await import("../../app/pages/reimbursement/month_preview.js");
const { historyOf } = await import("../../app/pages/reimbursement/claim_messages.js");
const { companyCars } = await import("../../app/pages/reimbursement/home_shares.js");
const { question } = await import("../../app/state/confirm.js");
const { session } = await import("../../app/state/session.js");

/** @type {import("../../app/api/types.d.ts").Session} */
const MEMBER = { account: { name: "M", email: "m@x.example" }, scheme: { id: "s", name: "S" }, roles: ["member"], household_id: "h1", demo_mail: false };
session.value = MEMBER;

/** @type {{ method: string, path: string, body: any }[]} */
const calls = [];
const realFetch = globalThis.fetch;
/** @param {(method: string, path: string) => Response} answer */
function serving(answer) {
  calls.length = 0;
  globalThis.fetch = /** @type {typeof fetch} */ (async (url, init) => {
    calls.push({ method: init?.method ?? "GET", path: String(url), body: init?.body ? JSON.parse(String(init.body)) : null });
    return answer(init?.method ?? "GET", String(url));
  });
}
afterEach(() => {
  clear();
  globalThis.fetch = realFetch;
});

/** @type {any} */
const ROW = {
  id: "a", household_id: "h", reference: "H-1", member_name: "Ada", month: "2026-10", ordinal: 1, state: "sent", corrects_id: null, is_corrected: false,
  miles: "139.5", total_pence: 6278, trip_count: 3, created_at: "2026-10-31T10:00:00Z", sent_at: "2026-11-01T10:00:00Z", decided_at: null, statement_id: null, version: 4, is_ready: null,
};
const ROWS = [ROW, { ...ROW, id: "b", member_name: "Bo", total_pence: 100, version: 2 }, { ...ROW, id: "c", state: "queried" }];
/** @type {any} */
const CLAIMS = { items: ROWS, total: 3, total_pence: 12_656, miles: "418.5", counts: [] };

test("one question names number and sum, each claim goes as it was read, and what failed is named", async () => {
  serving(() => new Response(JSON.stringify({ approved: ["a"], failed: [{ claim_id: "b", reason: "It has changed since it was read." }], total_pence: 6278 })));
  /** @type {any[]} */
  const told = [];
  const place = draw(html`<${ClaimsBulk} claims=${CLAIMS} choice=${{ ids: new Set(["a", "b", "c"]), last: "" }} onAll=${() => {}} onNone=${() => {}} onDone=${(/** @type {any} */ done) => told.push(done)} />`);
  assert.match(one(place, "[role=status]").textContent ?? "", /2 claims chosen, £63\.78/);
  const button = /** @type {HTMLButtonElement} */ (one(place, ".button-main"));
  button.click();
  await settle();
  assert.equal(question.value?.title, "Approve 2 claims, £63.78?");
  question.value?.answer(false);
  await settle();
  assert.equal(calls.length, 0);
  button.click();
  await settle();
  question.value?.answer(true);
  await settle();
  assert.deepEqual(calls[0].body, { claims: [{ claim_id: "a", version: 4 }, { claim_id: "b", version: 2 }] });
  const text = draw(html`<${ApprovalReport} done=${told[0]} onClose=${() => {}} />`).textContent ?? "";
  assert.match(text, /1 claim approved, £62\.78/);
  assert.match(text, /Bo, October 2026: It has changed since it was read\./);
  assert.equal(told.length, 1);
});

test("with Shift a range is chosen, also by a row that has not been drawn again", async () => {
  /** @type {any[]} */
  const told = [];
  const place = draw(html`<${ClaimsTable} rows=${ROWS} isChosen=${() => false} onChoose=${(/** @type {any[]} */ ...one) => told.push(one)} onAll=${() => {}} />`);
  const boxes = [...place.querySelectorAll("input[data-row]")];
  assert.equal(boxes.length, 2, "what is queried cannot be chosen");
  for (const [box, shiftKey] of /** @type {[Element, boolean][]} */ ([[boxes[0], false], [boxes[1], true]])) {
    box.dispatchEvent(new MouseEvent("click", { bubbles: true, shiftKey }));
  }
  await settle();
  assert.deepEqual(told, [["a", true, false], ["b", true, true]]);
});

const RECKONING = {
  month: "2026-11", is_ready: false, miles: "46.5", total_pence: 0, lines: [], figures: [], vat_note: "", tax_note: "", rounding_rule: "", caution: "Not tax advice.", working: [],
  blockers: [{ trip_id: "t1", on_date: "2026-11-02", what: "a figure is not known", rule: "ask the operator for the rate of this day" }],
};

test("a claim with something not known says so in words and cannot be sent", async () => {
  serving(() => new Response(JSON.stringify(RECKONING)));
  const place = draw(html`<${MonthPreview} month="2026-11" version=${0} cars=${[]} />`);
  await settle();
  assert.match(place.textContent ?? "", /Duenot known.*2 Nov 2026: A figure is not known\. Ask the operator for the rate of this day\./);
  const button = /** @type {HTMLButtonElement} */ ([...place.querySelectorAll("button")].find((each) => each.textContent === "Send the claim"));
  assert.equal(button.disabled, true);
});

test("what is sent is what was previewed, in two steps with keys of their own", async () => {
  const ready = { ...RECKONING, is_ready: true, blockers: [], total_pence: 2093 };
  serving((method, path) => new Response(JSON.stringify(method === "GET" ? ready : { ...ROW, id: "new", path }), { status: 201 }));
  const place = draw(html`<${MonthPreview} month="2026-11" version=${0} cars=${[{ id: "v1", label: "van" }]} />`);
  await settle();
  const share = /** @type {HTMLInputElement} */ (one(place, 'input[name="v1"]'));
  share.value = "60";
  share.dispatchEvent(new Event("input", { bubbles: true }));
  await settle();
  /** @type {HTMLFormElement} */ (one(place, "form")).dispatchEvent(new Event("submit", { bubbles: true, cancelable: true }));
  await settle();
  assert.match(calls.at(-1)?.path ?? "", /month=2026-11&home_share=v1%3A60$/);
  calls.length = 0;
  /** @type {HTMLButtonElement} */ ([...place.querySelectorAll("button")].find((each) => each.textContent === "Send the claim")).click();
  await settle();
  assert.match(question.value?.text ?? "", /£20\.93 for 46\.5 miles.*not where you drove/);
  question.value?.answer(true);
  await settle();
  assert.deepEqual(calls.map(({ path, body }) => [path, body]), [
    ["/api/v1/households/h1/claims", { month: "2026-11", home_shares: [{ vehicle_id: "v1", home_percent: "60" }] }],
    ["/api/v1/households/h1/claims/new/sending", {}],
  ]);
});

test("the history is told in order, with who asked", () => {
  const claim = { ...ROW, state: "approved", decided_at: "2026-11-04T10:00:00Z", messages: [
    { kind: "query", text: "Why?", written_at: "2026-11-02T10:00:00Z", is_by_member: false, author: "Ottoline" },
    { kind: "answer", text: "A detour.", written_at: "2026-11-03T10:00:00Z", is_by_member: true, author: "Ada" },
  ] };
  assert.deepEqual(historyOf(claim).map(({ what }) => what), ["Begun", "Sent", "Question, Ottoline", "Answer, Ada", "Approved"]);
});

test("a car is asked about once, however often it changed hands", () => {
  /** @type {any[]} */
  const kept = [["v1", "company_car"], ["v1", "company_car"], ["v2", "own_car"]].map(([vehicle_id, held_as]) => ({ vehicle_id, held_as, vehicle_label: vehicle_id }));
  assert.deepEqual(companyCars(kept), [{ id: "v1", label: "v1" }]);
});
