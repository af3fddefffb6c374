/** The check, an incident and the first charge against answers of the service: what is asked, what is said at a stop. */
import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import { TABLE, checkedHome, report, supervised } from "../checks.js";
import { clear, draw, one, settle } from "../dom.js";

const { html } = await import("htm/preact");
const { CheckPage } = await import("../../app/pages/safety/check.js");
const { FirstChargePage } = await import("../../app/pages/safety/first_charge.js");
const { IncidentPage } = await import("../../app/pages/safety/incident.js");
const { StopAnswerPage } = await import("../../app/pages/safety/stop_answer_page.js");
const { question } = await import("../../app/state/confirm.js");
const { session } = await import("../../app/state/session.js");

/** @type {import("../../app/api/types.d.ts").Session} */
const MEMBER = { account: { name: "M", email: "m@x.example" }, scheme: { id: "s", name: "S" }, roles: ["member"], household_id: "h1", demo_mail: false };
session.value = MEMBER;

const json = (/** @type {unknown} */ body) => new Response(JSON.stringify(body));
const OFFLINE = () => {
  throw new TypeError("no connection");
};
const realFetch = globalThis.fetch;

/** @type {{ method: string, path: string, body: any }[]} */
let sent = [];
/** @type {(string | null)[]} the Idempotency-Keys of what was sent */
let keys = [];

/** @param {Record<string, () => Response>} table "POST /checks" -> answer, by the address's ending */
function serving(table) {
  sent = [];
  keys = [];
  /** @type {Record<string, () => Response>} */
  const usual = { "GET /signs": () => json(TABLE), "GET /households/h1": () => json(checkedHome()), ...table };
  globalThis.fetch = /** @type {typeof fetch} */ (async (url, init) => {
    const method = init?.method ?? "GET";
    if (method === "POST") {
      sent.push({ method, path: String(url), body: JSON.parse(String(init?.body)) });
      keys.push(new Headers(init?.headers).get("Idempotency-Key"));
    }
    const key = Object.keys(usual).find((name) => `${method} ${url}`.endsWith(name.split(" ")[1]) && name.startsWith(method));
    if (!key) throw new TypeError(`no answer for ${method} ${url}`);
    return usual[key]();
  });
}

afterEach(() => {
  clear();
  localStorage.clear();
  globalThis.fetch = realFetch;
});

/** @param {HTMLElement} place @param {string} text */
async function press(place, text) {
  const found = [...place.querySelectorAll("button")].filter((button) => (button.textContent ?? "").startsWith(text));
  assert.equal(found.length, 1, `one button ${text}, found ${found.length} in ${place.textContent}`);
  found[0].click();
  await settle();
}

/** @param {boolean} isYes */
async function confirmed(isYes) {
  question.value?.answer(isYes);
  await settle();
}

const stopReply = () => json({ do_now: ["End the charge at the car."], outcome: "stop", id: "c", outlet_id: "garage", lead_id: "long", made_at: "", is_clear: false, reports: [report("burning_smell")] });

async function begun() {
  const place = draw(html`<${CheckPage} />`);
  await settle();
  await press(place, "Start the check");
  return place;
}

test("questions come one at a time, and a check without a sign is saved with all answers", async () => {
  serving({ "POST /checks": () => json({ do_now: [], outcome: "no_sign", id: "c", outlet_id: "garage", lead_id: "long", made_at: "", is_clear: true, reports: [] }) });
  const place = await begun();
  assert.match(place.textContent ?? "", /Question 1 of 3.*Is anything scorched/);
  for (let turn = 0; turn < 3; turn += 1) await press(place, "No");
  await press(place, "Save the check");
  assert.deepEqual(sent[0].body, {
    outlet_id: "garage", lead_id: "long", note: "",
    answers: [{ question: "scorch", answer: "no" }, { question: "smell", answer: "no" }, { question: "grip", answer: "no" }],
  });
  assert.match(place.textContent ?? "", /Recorded: no sign/);
});

test("a stop answer asks once whether it is right; no changes nothing, yes says first what to do", async () => {
  serving({ "POST /checks": stopReply });
  const place = await begun();
  await press(place, "No");
  await press(place, "Yes");
  assert.equal(question.value?.title, "Is that right?");
  await confirmed(false);
  assert.match(place.textContent ?? "", /Is there a smell/);
  assert.equal(sent.length, 0);
  await press(place, "Yes");
  await confirmed(true);
  assert.deepEqual(sent[0].body.answers, [{ question: "scorch", answer: "no" }, { question: "smell", answer: "yes" }]);
  assert.match(one(place, ".stop-answer").textContent ?? "", /^Do this nowEnd the charge at the car\./);
  assert.match(place.textContent ?? "", /What is stopped.*garage socket.*What lifts it.*an inspection.*Who is told.*Every driver/);
});

test("without a connection what to do is shown all the same, nobody is said to be told, and it is sent later", async () => {
  let isOffline = true;
  serving({ "POST /checks": () => (isOffline ? OFFLINE() : stopReply()) });
  const place = await begun();
  await press(place, "Yes");
  await confirmed(true);
  assert.match(one(place, ".do-now").textContent ?? "", /End the charge at the car/);
  assert.match(place.textContent ?? "", /Nobody has been told so far/);
  isOffline = false;
  window.dispatchEvent(new window.Event("online"));
  await settle();
  assert.match(place.textContent ?? "", /Your report is recorded/);
  assert.equal(sent.length, 2);
});

test("the answer can be read again without any call, and its numbers ring", async () => {
  serving({ "POST /incidents": () => json({ do_now: TABLE.signs[5].do_now, report: report("tingle") }) });
  const place = draw(html`<${IncidentPage} />`);
  await settle();
  await press(place, "Words of tingle");
  await confirmed(true);
  assert.deepEqual(sent[0].body, { sign: "tingle", note: "", outlet_id: "garage", lead_id: "long" });
  clear();
  globalThis.fetch = OFFLINE;
  const again = draw(html`<${StopAnswerPage} />`);
  await settle();
  assert.equal(one(again, ".phone").getAttribute("href"), "tel:105");
  assert.match(one(again, ".do-now").textContent ?? "", /Touch nothing.*105 \(number not confirmed\)/);
});

test("after a reload without a connection the answer comes first, and its report goes out once there is one", async () => {
  serving({ "POST /checks": OFFLINE });
  await press(await begun(), "Yes");
  await confirmed(true);
  const key = JSON.parse(localStorage.getItem("plugward-stop-answer") ?? "{}").unsent.key;
  clear();
  globalThis.fetch = OFFLINE;
  const place = draw(html`<${CheckPage} />`);
  await settle();
  assert.match(one(place, ".do-now").textContent ?? "", /End the charge at the car/);
  assert.match(place.textContent ?? "", /Nobody has been told so far/);
  clear();
  serving({ "POST /checks": stopReply });
  const again = draw(html`<${CheckPage} />`);
  await settle();
  assert.match(again.textContent ?? "", /Your report is recorded/);
  assert.deepEqual([sent.length, keys], [1, [key]]);
});

test("once it was read the check can be made again, and the answer stays to be read", async () => {
  serving({ "POST /checks": stopReply });
  const place = await begun();
  await press(place, "Yes");
  await confirmed(true);
  await press(place, "I have read this");
  assert.match(place.textContent ?? "", /Noted that you have read it/);
  clear();
  await begun();
  clear();
  const again = draw(html`<${StopAnswerPage} />`);
  await settle();
  assert.match(one(again, ".do-now").textContent ?? "", /End the charge at the car/);
});

test("a report that the service refuses is not sent for ever, and nobody is said to be told", async () => {
  serving({ "POST /checks": () => new Response(JSON.stringify({ title: "No", status: 422 }), { status: 422, headers: { "Content-Type": "application/problem+json" } }) });
  await press(await begun(), "Yes");
  await confirmed(true);
  clear();
  serving({});
  const place = draw(html`<${CheckPage} />`);
  await settle();
  assert.match(place.textContent ?? "", /This report is not recorded/);
  assert.equal(sent.length, 0);
});

test("before its times the first charge's buttons say when; heat may be said at once", async () => {
  const started = new Date(Date.now() - 60_000).toISOString();
  const inMinutes = (/** @type {number} */ minutes) => new Date(Date.now() + minutes * 60_000).toISOString();
  const charge = supervised({ started_at: started, first_from_at: inMinutes(29), later_from_at: inMinutes(119), until_at: inMinutes(700) });
  serving({
    "GET /supervised_charges": () => json({ items: [charge], total: 1 }),
    "POST /feelings": () => json({ do_now: ["End the charge at the car."], charge: { ...charge, state: "stopped" }, reports: [report("warm")] }),
  });
  const place = draw(html`<${FirstChargePage} />`);
  await settle();
  const held = [...place.querySelectorAll("button:disabled")].map((button) => button.textContent ?? "");
  assert.equal(held.length, 2);
  assert.match(held[0], /^From \d\d:\d\d, in 2\d min$/);
  await press(place, "It is warm or hot now");
  await press(place, "Warmer");
  assert.equal(sent.length, 0, "asked first");
  await confirmed(true);
  assert.deepEqual(sent[0].body, { answer: "warm" });
  assert.match(one(place, ".do-now").textContent ?? "", /End the charge at the car/);
});
