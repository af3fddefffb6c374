/** Taking a mistaken entry back and deciding on a home, against answers of the service: who may, and what is sent. */
import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import { checkedHome, report } from "../checks.js";
import { clear, draw, one, settle } from "../dom.js";

const { html } = await import("htm/preact");
const { OverridesPage } = await import("../../app/pages/safety/overrides/overrides.js");
const { HomeReportsPage, OwnReportsPage } = await import("../../app/pages/safety/withdrawal/reports.js");
const { DeskAsked } = await import("../../app/pages/reporting/desk_asked.js");
const { question } = await import("../../app/state/confirm.js");
const { session } = await import("../../app/state/session.js");

const json = (/** @type {unknown} */ body) => new Response(JSON.stringify(body));
const paged = (/** @type {unknown[]} */ ...items) => () => json({ items, total: items.length, page: 1, page_size: 20 });
const realFetch = globalThis.fetch;

/** @type {{ path: string, body: any }[]} */
let sent = [];

/** @param {Record<string, () => Response>} table */
function serving(table) {
  sent = [];
  const usual = { "GET /households/h1": () => json(checkedHome()), ...table };
  globalThis.fetch = /** @type {typeof fetch} */ (async (url, init) => {
    const method = init?.method ?? "GET";
    const path = String(url).split("?")[0];
    if (method === "POST") sent.push({ path, body: typeof init?.body === "string" ? JSON.parse(init.body) : init?.body });
    const key = Object.keys(usual).find((name) => name.startsWith(`${method} `) && path.endsWith(name.split(" ")[1]));
    if (!key) throw new TypeError(`no answer for ${method} ${url}`);
    return usual[/** @type {keyof typeof usual} */ (key)]();
  });
}

/** @param {string[]} roles @param {string | null} ownId */
function signedIn(roles, ownId = null) {
  session.value = /** @type {any} */ ({ account: { name: "O", email: "o@x.example" }, scheme: { id: "s", name: "S" }, roles, household_id: ownId, demo_mail: false });
}

afterEach(() => {
  clear();
  globalThis.fetch = realFetch;
});

/** @param {HTMLElement} place @param {string} text */
async function press(place, text) {
  const found = [...place.querySelectorAll("button")].filter((button) => (button.textContent ?? "").startsWith(text));
  assert.equal(found.length, 1, `one button ${text}, found ${found.length} in ${place.textContent}`);
  found[0].click();
  await settle();
}

const OFFICER = ["administrator", "safety_officer"];

test("only a safety officer of another home is offered to withdraw an entry", async () => {
  for (const [roles, ownId, count] of /** @type {[string[], string | null, number][]} */ ([[OFFICER, null, 1], [["administrator"], null, 0], [OFFICER, "h1", 0]])) {
    signedIn(roles, ownId);
    serving({ "GET /safety_reports": paged(report("warm")) });
    const place = draw(html`<${HomeReportsPage} householdId="h1" />`);
    await settle();
    assert.equal([...place.querySelectorAll("button")].filter((button) => (button.textContent ?? "").startsWith("Withdraw")).length, count);
    assert.match(place.textContent ?? "", /by Ada Finch/);
    clear();
  }
});

test("a withdrawal carries photo and reason after one question, and then says what stands", async () => {
  signedIn(OFFICER);
  let isWithdrawn = false;
  const shown = () => (isWithdrawn ? report("warm", { state: "withdrawn", withdrawn_at: "2026-11-25T13:00:00Z", withdrawn_by_name: "Olu Fane", withdrawal_reason: "a shadow", withdrawal_file_id: "f1" }) : report("warm"));
  serving({
    "GET /safety_reports": () => json({ items: [shown()], total: 1, page: 1, page_size: 20 }),
    "POST /files": () => json({ id: "f1" }),
    "POST /withdrawal": () => {
      isWithdrawn = true;
      return json(shown());
    },
  });
  const place = draw(html`<${HomeReportsPage} householdId="h1" />`);
  await settle();
  await press(place, "Withdraw as a mistake");
  const input = /** @type {HTMLInputElement} */ (one(place, "input[type=file]"));
  Object.defineProperty(input, "files", { value: [new File(["x"], "socket.png", { type: "image/png" })] });
  input.dispatchEvent(new window.Event("change", { bubbles: true }));
  const reason = /** @type {HTMLTextAreaElement} */ (one(place, "textarea"));
  reason.value = " a shadow ";
  reason.dispatchEvent(new window.Event("input", { bubbles: true }));
  await settle();
  one(place, "form").dispatchEvent(new window.Event("submit", { bubbles: true, cancelable: true }));
  await settle();
  assert.equal(question.value?.title, "Is that right?");
  assert.equal(sent.length, 0);
  question.value?.answer(true);
  await settle();
  assert.deepEqual(sent.map(({ path }) => path.split("/").at(-1)), ["files", "withdrawal"]);
  assert.deepEqual(sent[1].body, { reason: "a shadow", file_id: "f1" });
  assert.match(place.textContent ?? "", /What stands now/);
  assert.match(place.textContent ?? "", /by Olu FaneWhy: a shadow/);
  assert.equal(one(place, "img.evidence").getAttribute("src"), "/api/v1/households/h1/files/f1");
});

test("a member reads why an entry was withdrawn, and is offered nothing", async () => {
  signedIn(["member"], "h1");
  serving({ "GET /safety_reports": paged(report("warm", { state: "withdrawn", withdrawn_at: "2026-11-25T13:00:00Z", withdrawn_by_name: "Olu Fane", withdrawal_reason: "the neighbour's socket" })) });
  const place = draw(html`<${OwnReportsPage} />`);
  await settle();
  assert.match(place.textContent ?? "", /Withdrawn as a mistake.*Why: the neighbour's socket/);
  assert.equal(place.querySelectorAll("button").length, 0);
});

test("a decision is made stricter with its limit, after a question that says whom it reaches", async () => {
  signedIn(OFFICER);
  serving({ "GET /overrides": paged(), "POST /overrides": () => json({}) });
  const place = draw(html`<${OverridesPage} householdId="h1" />`);
  await settle();
  assert.match(place.textContent ?? "", /No decision has been made/);
  await press(place, "Make an answer stricter");
  const level = /** @type {HTMLInputElement} */ (one(place, "input[value=use_with_limits]"));
  level.checked = true;
  level.dispatchEvent(new window.Event("change", { bubbles: true }));
  await settle();
  for (const [selector, value] of [["input[name=limit_a]", "8"], ["textarea", "worn shutters"]]) {
    const entry = /** @type {HTMLInputElement} */ (one(place, selector));
    entry.value = value;
    entry.dispatchEvent(new window.Event("input", { bubbles: true }));
  }
  await settle();
  one(place, "form").dispatchEvent(new window.Event("submit", { bubbles: true, cancelable: true }));
  await settle();
  assert.match(question.value?.text ?? "", /8 A at most.*are told/);
  question.value?.answer(true);
  await settle();
  assert.deepEqual(sent[0].body, { kind: "stricter", item_kind: "outlet", item_id: "garage", clearance: "use_with_limits", limit_a: 8, reason: "worn shutters" });
});

test("an administrator reads decisions and is offered none", async () => {
  signedIn(["administrator"]);
  const decision = { id: "o1", kind: "stricter", item_kind: "outlet", item_id: "garage", clearance: "do_not_use", limit_a: null, due_on: null, new_due_on: null, visit_id: null, reason: "scorched next door", made_at: "2026-11-24T09:00:00Z", made_by_name: "Olu Fane", ended_at: null, ended_by_name: null };
  serving({ "GET /overrides": paged(decision) });
  const place = draw(html`<${OverridesPage} householdId="h1" />`);
  await settle();
  assert.match(place.textContent ?? "", /garage socketmade stricterIn force.*At best: do not use.*scorched next door.*Olu Fane/);
  assert.equal(place.querySelectorAll("button").length, 0);
});

test("the desk says who was mailed, who was not and why", async () => {
  const people = [
    { household_id: "a", reference: "H-1", name: "Ada", why_not: null, goes_out_at: new Date().toISOString() },
    { household_id: "b", reference: "H-2", name: "Bo", why_not: "mailed_today", goes_out_at: null },
    { household_id: "c", reference: "H-3", name: null, why_not: "nobody", goes_out_at: null },
  ];
  const place = draw(html`<${DeskAsked} people=${people} onClose=${() => {}} />`);
  await settle();
  assert.match(place.textContent ?? "", /1 person mailed.*H-1, Ada.*Not mailed.*H-2, Bo: mailed about rechecks today already.*H-3: the home has no member/);
});
