/** What an electrician reads on his page, put together from his form and the service's answers. */
import assert from "node:assert/strict";
import { test } from "node:test";
import { draw, one } from "../dom.js";

const { html } = await import("htm/preact");
const { ChoiceGroup, choiceWidth } = await import("../../app/components/choice_group.js");
const { DeadLink } = await import("../../app/pages/safety/electrician/dead_link.js");
const { documentFault, documentWords } = await import("../../app/pages/safety/electrician/document_step.js");
const { draftWords } = await import("../../app/pages/safety/electrician/draft_status.js");
const { visitStanding } = await import("../../app/pages/safety/electrician/home_list.js");
const { stepRows } = await import("../../app/pages/safety/electrician/outlet_summary.js");
const { countsWords, recordedWords } = await import("../../app/pages/safety/electrician/receipt.js");
const { rangeHint } = await import("../../app/pages/safety/electrician/step_fields.js");
const { faultName } = await import("../../app/pages/safety/electrician/summary.js");
const { placeOf, hrefOf } = await import("../../app/pages/safety/electrician/address.js");
const { whyNotDecide } = await import("../../app/pages/safety/visits/comparison.js");
const { decisionWords, isCorrectable } = await import("../../app/pages/safety/visits/inspection_card.js");
const { penceOf } = await import("../../app/pages/safety/visits/visit.js");
const { EMPTY_OUTLET, outletResult } = await import("../../app/lib/inspection_form.js");
const { ALL_FIELDS, STEPS } = await import("../../app/lib/inspection_fields.js");
const { Problem } = await import("../../app/lib/problem.js");

test("the draft's place is told in plain words, also where nothing can be kept", () => {
  assert.equal(draftWords("no_signal", true), "No signal: kept here, will be sent");
  assert.equal(draftWords("saved", false), "Saved");
  assert.match(draftWords("no_signal", false), /keeps nothing/);
});

test("a home opens on its day, and is closed when recorded", () => {
  const home = { visit_id: "v", reference: "H-1", opens_on: "2026-11-26", is_open: false, is_spent: false, address: null, postcode: null, outlets: [] };
  assert.equal(visitStanding(home), "Opens on 26 November 2026");
  assert.equal(visitStanding({ ...home, is_open: true }), "Open");
  assert.match(visitStanding({ ...home, is_open: true, is_spent: true }), /^Closed/);
});

test("a dead link says whom to ask, and that what was submitted was recorded", () => {
  const spent = draw(html`<${DeadLink} problem=${new Problem({ status: 410, detail: "This link is spent" })} />`).textContent ?? "";
  assert.match(spent, /This link is spent\./);
  assert.match(spent, /Whom to ask/);
  assert.match(spent, /it was recorded/);
  assert.match(draw(html`<${DeadLink} problem=${new Problem({ status: 404 })} />`).textContent ?? "", /not known/);
});

test("the receipt says recorded, never certified, and whether it counts yet", () => {
  const sent = outletResult("o1", { ...EMPTY_OUTLET, values: { inspected_on: "2026-11-25", next_due_on: "2031-11-25", certificate_number: "R" }, observations: [{ code: "C2", note: "x", reach: "outlet", closed_on: "" }] }, false);
  assert.match(recordedWords("Garage socket", sent, "F. Gale"), /recorded as inspected on 25 November 2026 by F\. Gale.*C2 open/);
  const reply = { inspections: [], is_partial: false, is_accepted: false, waits_because: "the certificate itself is missing" };
  assert.equal(countsWords(reply), "It waits to be accepted. The certificate itself is missing.");
  assert.match(countsWords({ ...reply, is_accepted: true }), /^It counts/);
  assert.match(countsWords({ ...reply, is_partial: true }), /readings are still to come/);
});

test("a chosen document says where it is; one too large or of another kind is refused at once", () => {
  const chosen = { key: "k", name: "a.pdf", size: 1, id: null };
  assert.match(documentWords(chosen, undefined), /^No signal: kept/);
  assert.equal(documentWords({ ...chosen, id: "f" }, undefined), "Sent");
  assert.equal(documentWords(chosen, { state: "refused", text: "Not a PDF." }), "Not taken: Not a PDF.");
  assert.match(documentFault({ size: 11 * 1024 * 1024, type: "application/pdf" }), /at most 10 MiB/);
  assert.match(documentFault({ size: 5, type: "text/html" }), /PDF, a JPEG or a PNG/);
  assert.match(documentFault({ size: 0, type: "application/pdf" }), /empty/);
  assert.equal(documentFault({ size: 10 * 1024 * 1024, type: "image/jpeg" }), "");
});

test("the summary shows what was answered, with units", () => {
  const readings = STEPS.find(({ id }) => id === "readings");
  assert.ok(readings);
  const form = { ...EMPTY_OUTLET, values: { zs_ohm: "0.61", zs_corrected: "cold" }, untested: { ze_ohm: "board locked" } };
  assert.deepEqual(stepRows(readings, form, "socket_13a"), [["Earth fault loop impedance Zs", "0.61 ohm"], ["How Zs is given", "As read, conductors cold"], ["External loop impedance Ze", "not tested: board locked"]]);
});

test("a fault is named as the form names its field", () => {
  assert.equal(faultName("zs_ohm.not_tested_because"), "Earth fault loop impedance Zs");
  assert.equal(faultName("observations.1.closed_on"), "Observation 2, closed on");
});

test("a figure's range stands in its hint with the unit", () => {
  const rating = ALL_FIELDS.find(({ name }) => name === "rcd_ma");
  assert.ok(rating);
  assert.equal(rangeHint(rating), "1 to 1000 mA.");
});

test("a choice is a group of radio buttons with its question as the legend, wide enough for its words", () => {
  const spec = { name: "own_rcd", label: "Own RCD?", kind: /** @type {const} */ ("select"), options: [{ value: "yes", label: "Yes" }, { value: "no", label: "No" }] };
  const place = draw(html`<${ChoiceGroup} spec=${spec} value="no" onInput=${() => {}} />`);
  assert.equal(one(place, "fieldset > legend").textContent, "Own RCD?");
  assert.deepEqual([...place.querySelectorAll("input")].map((input) => input.checked), [false, true]);
  assert.equal(choiceWidth(spec.options), "");
  assert.equal(choiceWidth([{ label: "Outdoors" }]), "choices-wider");
  assert.equal(choiceWidth([{ label: "The whole home (board)" }]), "choices-rows");
});

test("the place on the page stands in the address", () => {
  const place = { visit: "v1", outlet: "o1", step: "readings" };
  assert.deepEqual(placeOf(hrefOf(place)), place);
  assert.equal(hrefOf({}), "/inspect");
});

const DECIDED = /** @type {import("../../app/api/visit_types.d.ts").DecidedInspection} */ ({
  id: "i", household_id: "h1", source: "link", recorded_at: "2026-11-20T10:00:00Z", accepted_at: null, accepted_by: "", refused_at: null, refused_by: "", superseded_at: null, ground: null,
});
const NOW = Date.parse("2026-11-25T10:00:00Z");

test("only a safety officer of another home decides, and the others read why not", () => {
  assert.match(whyNotDecide(DECIDED, false, null), /Only a safety officer/);
  assert.match(whyNotDecide(DECIDED, true, "h1"), /your own home/);
  assert.equal(whyNotDecide(DECIDED, true, "h2"), "");
  assert.equal(whyNotDecide(DECIDED, true, null), "");
});

test("a decision says who, when and why", () => {
  assert.equal(decisionWords(DECIDED, NOW), "waits for a safety officer");
  assert.match(decisionWords({ ...DECIDED, accepted_at: "2026-11-21T10:00:00Z", ground: "listed" }, NOW), /^accepted on Sat 21 Nov, 10:00: the electrician is on the scheme's list/);
  assert.match(decisionWords({ ...DECIDED, refused_at: "2026-11-21T10:00:00Z", refused_by: "R. Officer", refusal_reason: "another outlet" }, NOW), /by R\. Officer: another outlet$/);
});

test("a correction can be asked for while the days last, of what came by a link", () => {
  assert.equal(isCorrectable(DECIDED, NOW), true);
  assert.equal(isCorrectable({ ...DECIDED, source: "officer" }, NOW), false);
  assert.equal(isCorrectable({ ...DECIDED, superseded_at: "2026-11-21T10:00:00Z" }, NOW), false);
  assert.equal(isCorrectable(DECIDED, NOW + 30 * 24 * 3_600_000), false);
});

test("pounds become whole pence, and what is no amount is left for the service to refuse", () => {
  assert.equal(penceOf("120"), 12000);
  assert.equal(penceOf("89.5"), 8950);
  assert.equal(penceOf("1,200.05"), 120005);
  assert.equal(penceOf("soon"), "soon");
  assert.equal(penceOf(null), null);
});
