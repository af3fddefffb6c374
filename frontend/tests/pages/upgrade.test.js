/** The verdict on works at a home, and the scheme's list, against answers of the service. */
import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import { clear, draw, one, settle } from "../dom.js";

const { html } = await import("htm/preact");
const { UpgradePage } = await import("../../app/pages/advice/upgrade.js");
const { UpgradesPage } = await import("../../app/pages/advice/upgrades.js");
const { question } = await import("../../app/state/confirm.js");
const { session } = await import("../../app/state/session.js");
const { url } = await import("../../app/state/router.js");

/** @type {import("../../app/api/types.d.ts").Session} */
const MEMBER = { account: { name: "M", email: "m@x.example" }, scheme: { id: "s", name: "S" }, roles: ["member"], household_id: "h1", demo_mail: false };
session.value = MEMBER;

/** @type {{ method: string, path: string, body: any, match: string | null }[]} */
const calls = [];
const realFetch = globalThis.fetch;
/** @param {(method: string, path: string) => unknown} answer */
function serving(answer) {
  calls.length = 0;
  globalThis.fetch = /** @type {typeof fetch} */ (async (address, init) => {
    const headers = /** @type {Record<string, string>} */ (init?.headers ?? {});
    const method = init?.method ?? "GET";
    calls.push({ method, path: String(address), body: init?.body ? JSON.parse(String(init.body)) : null, match: headers["If-Match"] ?? null });
    const body = answer(method, String(address));
    return body instanceof Response ? body : new Response(JSON.stringify(body), { headers: { ETag: '"3"' } });
  });
}
afterEach(() => {
  clear();
  globalThis.fetch = realFetch;
});

const STEP = { what: "Payback", inputs: { cost: "£1,100.00" }, rule: "cost / saved a year", source: "arithmetic", result: "pays back" };
const OPTION = {
  work: "point_tethered", words: "pays back in 5.6 years", cost_pence: "110000", is_quoted: false, is_cost_assumed: true, saved_pence: "18000.5",
  avoided_kwh: 52, payback_years: "6.11", discounted_years: "6.9", worth_pence: "39701", pays_back: true, from_losses_pence: "4144", from_hours_pence: "15856.5",
  from_more_pence: "-4652", public_pence: "2652", rates_percent: ["10.2"], most_cost_pence: "149701", least_kwh: 1469.5, working: [STEP],
};
const NEVER = {
  ...OPTION, work: "ev_marked_socket", words: "never pays back: it saves nothing", cost_pence: "15000", saved_pence: "0", avoided_kwh: 0, payback_years: null,
  discounted_years: null, worth_pence: "-15000", pays_back: false, rates_percent: [], least_kwh: null,
};
const UPGRADE = {
  answer: "pays_back", best: "point_tethered", headline: "A 7 kW charging point pays back in 6.9 years.", outlet: "garage socket", is_stopped: false,
  is_as_if_cleared: false, has_second_car: false, as_if: "if every week of the year were like this one", life_years: 10, rate_percent: "3.5", short_kwh: 1,
  options: [NEVER, OPTION],
  takes: [{ kind: "tax", works: ["point_tethered"], words: "A question for the adviser?", source: "a manual", standing: "published", working: [] }],
  notes: ["As if an electrician had recorded it."], working: [STEP],
};
const QUOTE = { id: "q1", kind: "point_tethered", cost_pence: "99050", quoted_on: "2026-11-20", note: "8 m" };

/** @param {object} [change] */
const home = (change = {}) => (/** @type {string} */ method, /** @type {string} */ path) =>
  (path.includes("upgrade_quotes/") ? (method === "DELETE" ? new Response(null, { status: 204 }) : QUOTE) : path.includes("upgrade_quotes") ? (method === "POST" ? QUOTE : { items: [QUOTE], most: 30 }) : { ...UPGRADE, ...change });

test("the verdict stands first, each work with cost, year, payback and worth, and its working", async () => {
  serving(home());
  const place = draw(html`<${UpgradePage} />`);
  await settle();
  assert.match(one(place, ".verdict-main").textContent ?? "", /pays back in 6\.9 years/);
  const rows = [...place.querySelectorAll("tbody tr")].map((row) => [...row.children].map((cell) => cell.textContent));
  assert.deepEqual(rows[0], ["Socket marked for cars", "£150.00assumed", "£0.00", "never", "−£150.00"]);
  assert.deepEqual(rows[1].slice(1), ["£1,100.00assumed", "£180.01", "6.1 years", "£397.01"]);
  const details = /** @type {HTMLDetailsElement} */ (one(place, ".upgrade-workings details:last-child"));
  details.open = true;
  details.dispatchEvent(new Event("toggle"));
  await settle();
  const text = details.textContent ?? "";
  assert.match(text, /May cost at most£1,497\.01/);
  assert.match(text, /Public charging avoided£26\.52/);
  assert.match(text, /cost \/ saved a year/);
});

test("a stopped home reads safety first and is led to its record", async () => {
  serving(home({ answer: "safety_first", is_stopped: true, is_as_if_cleared: true, headline: "Safety first: charging here is stopped." }));
  const place = draw(html`<${UpgradePage} />`);
  await settle();
  assert.ok(one(place, ".verdict-safety_first a[href='/outlets']"));
});

test("a quote is typed in pounds and sent in pence; it is deleted in the state it was read in", async () => {
  serving(home());
  const place = draw(html`<${UpgradePage} />`);
  await settle();
  /** @type {HTMLButtonElement} */ ([...place.querySelectorAll("button")].find((button) => button.textContent === "Enter a quote")).click();
  await settle();
  const entry = /** @type {HTMLInputElement} */ (one(place, "input[name='cost_pence']"));
  entry.value = "1,150.5";
  entry.dispatchEvent(new Event("input", { bubbles: true }));
  await settle();
  one(place, "section[aria-labelledby='quotes'] form").dispatchEvent(new Event("submit", { bubbles: true, cancelable: true }));
  await settle();
  const sent = calls.find(({ method }) => method === "POST");
  assert.equal(sent?.body.cost_pence, "115050");
  assert.equal(sent?.body.kind, "point_tethered");
  /** @type {HTMLButtonElement} */ (one(place, ".row-actions button")).click();
  await settle();
  question.value?.answer(true);
  await settle();
  assert.equal(calls.find(({ method }) => method === "DELETE")?.match, '"3"');
});

test("the scheme's list tells how far the reckoning is, each home's place and why, and exports the same budget", async () => {
  url.value = "/upgrades?budget_pounds=2000";
  serving(() => ({
    budget_pounds: 2000, spent_pounds: 1100, avoided_kwh: 52, worth_pence: "39701", home_count: 3, reckoned_count: 2, life_years: 10, rate_percent: "3.5",
    counts: [{ place: "safety", household_count: 1 }, { place: "chosen", household_count: 1 }, { place: "no_gain", household_count: 0 }], working: [STEP],
    items: [
      { rank: 1, household_id: "h2", reference: "H-2", clearance: "do_not_use", place: "safety", is_paid_for: false, why: "charging is stopped", reckoned_at: null, work: null },
      { rank: 2, household_id: "h1", reference: "H-1", clearance: "fit_to_use", place: "chosen", is_paid_for: true, why: "pays back", reckoned_at: "2026-11-25T12:00:00Z", work: OPTION },
    ],
  }));
  const place = draw(html`<${UpgradesPage} />`);
  await settle();
  assert.match(calls[0].path, /\/upgrades\?budget_pounds=2000$/);
  const text = place.textContent ?? "";
  assert.match(text, /2 of 3 homes reckoned/);
  assert.match(text, /£1,100 of £2,000/);
  assert.match(text, /Safety first: 1 · Chosen: 1/);
  assert.doesNotMatch(text, /Nothing gained: 0/);
  const rows = [...place.querySelectorAll("tbody tr")].map((row) => row.textContent ?? "");
  assert.match(rows[0], /^1H-2Safety firstnot paid for.*stopped/);
  assert.match(rows[1], /Chosenpaid for.*6\.1 years/);
  const links = [...place.querySelectorAll("a[download]")].map((link) => link.getAttribute("href"));
  assert.deepEqual(links, ["/api/v1/upgrades/export?budget_pounds=2000&format=csv", "/api/v1/upgrades/export?budget_pounds=2000&format=xlsx"]);
});
