/** Extension leads against answers of the service: what to do comes first, one is recorded as far as known, and ended by a word. */
import assert from "node:assert/strict";
import { afterEach, test } from "node:test";
import { clear, draw, settle } from "../dom.js";

const { html } = await import("htm/preact");
const { CarPairs } = await import("../../app/pages/safety/outlets/car_pairs.js");
const { ExtensionLeads } = await import("../../app/pages/safety/outlets/extension_leads.js");
const { question } = await import("../../app/state/confirm.js");
const { outletSteps } = await import("../../app/lib/next_steps.js");

const HOME = { id: "h1", zone: "Europe/London", outlets: [{ id: "o1", label: "Garage socket", kind: "socket_13a" }, { id: "o2", label: "Drive point", kind: "charging_point" }] };
const realFetch = globalThis.fetch;

/** @param {object} changes */
const used = (changes = {}) => ({
  id: "x1", outlet_id: "o1", outlet_label: "Garage socket", label: "Orange reel", mark: "", size_mm2: null, length_m: 10, is_coiled: "yes", is_chained: "no", has_several_sockets: "not_known",
  place: "indoors", is_outdoor_rated: "not_known", reel_unwound_w: null, recorded_at: "2026-11-25T12:00:00Z", recorded_by: null, ended_at: null, ended_by: null, allows_charging: false, limit_a: null,
  reasons: ["coiled", "size or length is not known"], can_be_lifted: false, do_now: ["End the charge at the car."], working: [], ...changes,
});

/** @type {{ path: string, body: any }[]} */
let sent = [];

/** @param {object[]} items */
function serving(items) {
  sent = [];
  globalThis.fetch = /** @type {typeof fetch} */ (async (url, init) => {
    if (init?.method === "POST") {
      sent.push({ path: String(url), body: init.body ? JSON.parse(String(init.body)) : null });
      return Response.json(used({ id: "x2", label: "Reel" }));
    }
    return Response.json({ items, total: items.length, page: 1, page_size: 200 });
  });
}

afterEach(() => {
  clear();
  globalThis.fetch = realFetch;
});

async function opened(onChange = () => {}) {
  const place = draw(html`<${ExtensionLeads} home=${HOME} onChange=${onChange} />`);
  await settle();
  return place;
}

/** @param {HTMLElement} place @param {string} text */
async function press(place, text) {
  const found = [...place.querySelectorAll("button")].find((button) => (button.textContent ?? "").startsWith(text));
  assert.ok(found, `no button ${text} in ${place.textContent}`);
  found.click();
  await settle();
}

test("one that may not be used says what to do now before why, and that no inspection can allow it", async () => {
  serving([used()]);
  const text = (await opened()).textContent ?? "";
  assert.ok(text.indexOf("End the charge at the car.") < text.indexOf("Size or length is not known"));
  assert.match(text, /Orange reel at Garage socket: do not use/);
  assert.match(text, /Without a mark, size not known, 10 m/);
  assert.match(text, /no inspection can allow it/);
});

test("one that the inspection names is used with its limit, and nothing is to be done now", async () => {
  serving([used({ allows_charging: true, limit_a: 8, reasons: [], do_now: [] })]);
  const text = (await opened()).textContent ?? "";
  assert.match(text, /use with limits, at most 8 A/);
  assert.doesNotMatch(text, /Do this now/);
});

test("it is ended after one question, and the page is told", async () => {
  serving([used()]);
  let changes = 0;
  const place = await opened(() => { changes += 1; });
  await press(place, "It is not used any more");
  assert.deepEqual(sent, []);
  question.value?.answer(true);
  await settle();
  assert.deepEqual(sent.map(({ path }) => path), ["/api/v1/households/h1/extension_leads/x1/ending"]);
  assert.equal(changes, 1);
});

test("a use is recorded with what is known of it, at the only socket there is", async () => {
  serving([]);
  const place = await opened();
  assert.match(place.textContent ?? "", /None is recorded in use/);
  await press(place, "I use an extension lead");
  await press(place, "Record it");
  assert.deepEqual(sent, [{ path: "/api/v1/households/h1/extension_leads", body: {
    outlet_id: "o1", label: "Extension lead", mark: "", size_mm2: null, length_m: null, reel_unwound_w: null, is_coiled: "not_known", is_chained: "not_known", has_several_sockets: "not_known",
    place: "not_known", is_outdoor_rated: "not_known",
  } }]);
});

test("saying more of one records it anew before the old record ends", async () => {
  serving([used()]);
  const place = await opened();
  await press(place, "Say more of it");
  await press(place, "Record it");
  assert.deepEqual(sent.map(({ path }) => path), ["/api/v1/households/h1/extension_leads", "/api/v1/households/h1/extension_leads/x1/ending"]);
  assert.deepEqual([sent[0].body.is_coiled, sent[0].body.length_m, sent[0].body.size_mm2], ["yes", 10, null]);
});

test("an outlet stopped by an extension lead alone leads to it and not to a visit", () => {
  const steps = (/** @type {string[]} */ ...needs) => outletSteps({ outlet_id: "o1", clearance: "do_not_use", needs }).map(({ kind }) => kind);
  assert.deepEqual(steps("extension_ended"), ["extension"]);
  assert.deepEqual(steps("extension_ended", "stop_lifted"), ["extension", "ask_visit"]);
  assert.deepEqual(steps("stop_lifted"), ["ask_visit"]);
});

test("each pair says what would be drawn, what may flow, and what to set", () => {
  const pair = { vehicle_id: "v1", vehicle_label: "Blue car", outlet_id: "o1", outlet_label: "Garage socket", lead_id: "l1", lead_label: "Portable lead", clearance: "do_not_use", drawn_a: 13, allowed_a: 10,
    set_to_a: 10, words: "set the lead to 10 A and show it in a photo", working: [{ what: "Drawn", inputs: {}, rule: "r", source: "s", result: "13 A" }] };
  const text = draw(html`<${CarPairs} pairs=${[pair, { ...pair, vehicle_id: "v2", drawn_a: null, allowed_a: null, set_to_a: null, working: [] }]} />`).textContent ?? "";
  assert.match(text, /Blue car, Portable lead, Garage socket/);
  assert.match(text, /Set the lead to 10 A and show it in a photo\./);
  assert.match(text, /The car would draw13 A/);
  assert.match(text, /The car would drawnot known/);
  assert.match(text, /May flow here for hoursnothing now/);
  assert.equal(text.split("How this came about").length, 2);
});
