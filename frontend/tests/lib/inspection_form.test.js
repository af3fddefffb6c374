/** From what an electrician typed to what is sent, and what is said before sending. */
import assert from "node:assert/strict";
import { test } from "node:test";
import "../dom.js";

const { ALL_FIELDS, STEPS, fieldsOf, stepOf } = await import("../../app/lib/inspection_fields.js");
const { EMPTY_OUTLET, EMPTY_VISIT, answerWords, isTouched, outletResult, progressOf, visitResult, withCertificateOf, withOutlet, withUntested, withValue } = await import("../../app/lib/inspection_form.js");
const { faultOf, outletFaults, refusedByOutlet, visitFaults } = await import("../../app/lib/inspection_faults.js");
const { recordedRows } = await import("../../app/lib/recorded_answers.js");

const TODAY = "2026-11-25";

/** @typedef {import("../../app/lib/inspection_form.js").OutletForm} OutletForm */

/** @param {Record<string, string>} values @returns {OutletForm} */
const form = (values) => ({ ...EMPTY_OUTLET, values });

const CERTIFICATE = { certificate_kind: "eicr", certificate_number: "R-100", inspected_on: "2026-11-24", next_due_on: "2031-11-24" };

const field = (/** @type {string} */ name) => {
  const found = ALL_FIELDS.find((one) => one.name === name);
  assert.ok(found, name);
  return found;
};

test("readings go as exact texts, whole numbers as numbers, what was not answered not at all", () => {
  const sent = outletResult("o1", form({ ...CERTIFICATE, zs_ohm: "0.610", rcd_ma: "30", own_rcd: "yes", supply_phases: "3", was_tested: "yes" }), false);
  assert.deepEqual(sent.answers, { zs_ohm: { value: "0.610", not_tested_because: "" }, rcd_ma: 30, own_rcd: "yes", supply_phases: 3 });
  assert.equal(sent.was_tested, "yes");
  assert.equal(sent.knew_use, "not_known");
  assert.deepEqual([sent.limit_a, sent.file_id], [null, null]);
});

test("'not tested, because' takes the reading's place, and is taken back by a reading", () => {
  const untested = withUntested(form({ zs_ohm: "0.61" }), "zs_ohm", "no access");
  assert.deepEqual(outletResult("o1", untested, false).answers, { zs_ohm: { value: null, not_tested_because: "no access" } });
  assert.equal(answerWords(field("zs_ohm"), untested), "not tested: no access");
  const read = withValue(withUntested(untested, "zs_ohm", null), "zs_ohm", "0.5");
  assert.deepEqual(outletResult("o1", read, false).answers, { zs_ohm: { value: "0.5", not_tested_because: "" } });
});

test("an emptied entry counts as not answered", () => {
  assert.equal(isTouched(withValue(form({ zs_ohm: "1" }), "zs_ohm", "")), false);
});

test("the certificate alone leaves the readings out", () => {
  assert.deepEqual(outletResult("o1", form({ ...CERTIFICATE, zs_ohm: "0.6" }), true).answers, {});
});

test("ring ends are asked of a ring, the mark of a 13 A socket, lost PEN not of TT", () => {
  const ask = (/** @type {Record<string, string>} */ values, kind = "socket_13a") => STEPS.flatMap((step) => progressOf(step, form(values), kind).open.map(({ name }) => name));
  assert.equal(ask({}).includes("ring_ends_ohm"), false);
  assert.equal(ask({ is_ring: "yes" }).includes("ring_ends_ohm"), true);
  assert.equal(ask({}).includes("ev_mark"), true);
  assert.equal(ask({}, "charging_point").includes("ev_mark"), false);
  assert.equal(ask({ earthing: "tt" }).includes("lost_pen"), false);
  assert.equal(ask({ earthing: "tn_c_s", car_place: "outdoors" }).includes("lost_pen"), true);
  assert.equal(outletResult("o1", form({ ring_ends_ohm: "1", is_ring: "no" }), false).answers.ring_ends_ohm, undefined);
});

test("every field has a step, and every step's fields are of some outlet", () => {
  for (const { name } of ALL_FIELDS) assert.ok(STEPS.some(({ id }) => id === stepOf(name)), name);
  assert.equal(stepOf("zs_ohm.value"), "readings");
  assert.equal(stepOf("observations.0.note"), "observations");
  for (const step of STEPS) assert.ok(fieldsOf(step, "socket_13a").length >= fieldsOf(step, "charging_point").length);
});

test("a figure out of range is told in the service's words, with its unit", () => {
  assert.equal(faultOf(field("rcd_ma"), "2000"), "Must lie between 1 and 1000 mA.");
  assert.equal(faultOf(field("zs_ohm"), "100001"), "Must lie between 0 and 100000 ohm.");
  assert.equal(faultOf(field("zs_ohm"), "0.12345"), "Must have at most 4 decimals.");
  assert.equal(faultOf(field("zs_ohm"), "0.61000"), "");
  assert.equal(faultOf(field("zs_ohm"), "0,6"), "Must be a number.");
  assert.equal(faultOf(field("rcd_time_ms"), "0"), "Must be above 0 ms.");
  assert.equal(faultOf(field("device_a"), "32.5"), "Must be a whole number.");
  assert.equal(faultOf(field("extension.size_mm2"), "20"), "Must lie between 0 and 16 mm2.");
});

test("a reading outside its limit is no fault: it is recorded and fails", () => {
  assert.equal(faultOf(field("insulation_mohm"), "0.2"), "");
  assert.equal(faultOf(field("rcd_time_ms"), "900"), "");
});

test("dates follow one another, within ten years and not ahead", () => {
  const faults = (/** @type {Record<string, string>} */ values) => outletFaults(form({ ...CERTIFICATE, ...values }), TODAY).map((fault) => `${fault.field}: ${fault.text}`);
  assert.deepEqual(faults({}), []);
  assert.deepEqual(faults({ inspected_on: "2026-11-26" }), ["inspected_on: Must not be in the future."]);
  assert.deepEqual(faults({ next_due_on: "2026-11-24" }), ["next_due_on: Must be after the inspection."]);
  assert.match(faults({ next_due_on: "2036-11-25" })[0], /within 10 years/);
  assert.deepEqual(faults({ next_due_on: "2036-11-24" }), []);
  assert.match(faults({ inspected_on: "2024-02-29", next_due_on: "2034-03-01" })[0], /within 10 years/);
});

test("a limit needs its reason, a reading left out its reason, an extension lead all three with a limit and its reason", () => {
  const names = (/** @type {OutletForm} */ one) => outletFaults(one, TODAY).map((fault) => fault.field);
  assert.deepEqual(names(form({ ...CERTIFICATE, limit_a: "8" })), ["limit_reason"]);
  assert.deepEqual(names(withUntested(form(CERTIFICATE), "ze_ohm", " ")), ["ze_ohm.not_tested_because"]);
  assert.deepEqual(names(form({ ...CERTIFICATE, "extension.identity": "red reel" })), ["extension.size_mm2", "extension.length_m", "limit_a", "limit_reason"]);
});

test("each outlet of the visit is named, unless the certificate goes first", () => {
  const visit = withOutlet({ ...EMPTY_VISIT, electrician_name: "F. Gale" }, "o1", () => form(CERTIFICATE));
  assert.deepEqual(visitFaults(visit, ["o1", "o2"], TODAY, false).outlets.map(({ id }) => id), ["o2"]);
  assert.deepEqual(visitFaults(visit, ["o1", "o2"], TODAY, true).outlets, []);
  assert.equal(visitFaults(EMPTY_VISIT, ["o1"], TODAY, true).isEmpty, true);
  assert.deepEqual(visitFaults(EMPTY_VISIT, ["o1"], TODAY, true).self.map((fault) => fault.field), ["electrician_name"]);
  assert.deepEqual(visitResult(visit, ["o1", "o2"], true).outlets.map(({ outlet_id: id }) => id), ["o1"]);
});

test("a second outlet takes the first one's certificate and document, and nothing else", () => {
  const first = { ...form({ ...CERTIFICATE, zs_ohm: "0.6" }), document: { key: "k", name: "c.pdf", size: 1, id: "f1" } };
  const second = withCertificateOf(form({ polarity: "yes" }), first);
  assert.deepEqual(second.values, { polarity: "yes", ...CERTIFICATE });
  assert.equal(second.document?.id, "f1");
});

test("what the service refuses is told by outlet and step", () => {
  const told = refusedByOutlet([{ field: "outlets.1.answers.zs_ohm.value", detail: "Must be a number." }, { field: "electrician_name", detail: "Too long." }], ["o1", "o2"]);
  assert.deepEqual(told, [{ id: "o2", field: "zs_ohm.value", step: "readings", text: "Must be a number." }, { id: "", field: "electrician_name", step: "", text: "Too long." }]);
});

test("recorded answers read back as words and units", () => {
  const rows = Object.fromEntries(recordedRows({ zs_ohm: { value: "0.61", not_tested_because: "" }, ze_ohm: { value: null, not_tested_because: "board locked" }, rcd_type: "a", rcd_ma: 30, lost_pen: "iv", extension: { identity: "red reel", size_mm2: "2.5", length_m: "10" } }));
  assert.equal(rows["Earth fault loop impedance Zs"], "0.61 ohm");
  assert.equal(rows["External loop impedance Ze"], "not tested: board locked");
  assert.equal(rows["Its rated residual current"], "30 mA");
  assert.equal(rows["Were all terminals found tight?"], "not recorded");
  assert.equal(rows["Extension lead named"], "red reel, 2.5 mm², 10 m");
  assert.equal(rows["Its charging lead's instructions allow one"], "Not known");
});
