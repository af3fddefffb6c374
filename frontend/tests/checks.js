/** A small table of signs and a home for tests of checks, in the shape of the service's. */
import { home } from "./plans.js";

const NO = { answer: "no", words: "No", sign: null, means: "" };
const UNSURE = { answer: "not_known", words: "I do not know", sign: null, means: "" };
const yes = (/** @type {string} */ sign) => ({ answer: "yes", words: "Yes", sign, means: "" });

/** @type {import("../app/api/check_types.d.ts").Question[]} */
export const QUESTIONS = [
  { question: "scorch", words: "Is anything scorched?", is_touching: false, answers: [NO, yes("scorch"), UNSURE] },
  { question: "smell", words: "Is there a smell?", is_touching: false, answers: [NO, yes("burning_smell"), UNSURE] },
  { question: "grip", words: "Does the plug sit loose?", is_touching: true, answers: [NO, yes("loose"), UNSURE] },
];

/**
 * @param {string} name
 * @param {Partial<import("../app/api/check_types.d.ts").Sign>} [more]
 * @returns {import("../app/api/check_types.d.ts").Sign}
 */
export function sign(name, more = {}) {
  return {
    sign: name, group: "check", words: `Words of ${name}`, outlets: "outlet", acts_on_lead: true, effect: "do_not_use",
    lifts: [], do_now: ["End the charge at the car.", "Smoke or flames: ring 999."], source: "", mark: "CP", ...more,
  };
}

/** @type {import("../app/api/check_types.d.ts").SignTable} */
export const TABLE = {
  edition: "e", review: "r", nation: "england", emergency: { number: "105", source: "from memory", mark: "M", is_confirmed: false }, questions: QUESTIONS,
  signs: [
    sign("scorch"), sign("burning_smell"), sign("loose"), sign("warm"), sign("too_hot"),
    sign("tingle", { outlets: "home", do_now: ["Touch nothing.", "Ring your electricity network: 105. It is on your bill."] }),
    sign("charge_drops_out", { effect: "not_known" }),
    sign("lead_knocked", { group: "incident", outlets: "none" }),
    sign("outlet_replaced", { group: "incident", acts_on_lead: false, effect: "not_known" }),
    sign("supply_changed", { group: "incident", outlets: "home", acts_on_lead: false, effect: "not_known" }),
  ],
};

const IDENTITY = { maker_model: "", serial_or_batch: "", supplied_by: "", since_on: null };

/**
 * @param {string} id
 * @param {Partial<import("../app/api/types.d.ts").Outlet>} [more]
 * @returns {import("../app/api/types.d.ts").Outlet}
 */
export function outlet(id, more = {}) {
  return { id, label: `${id} socket`, kind: "socket_13a", is_tethered: null, place: "indoors", limit_a: 10, phases: 1, circuit_id: null,
    car_place: "not_known", ip_code: "", ev_mark: "not_known", in_sun: "not_known", nights_a_week: null, control: "not_known", start_delay_s: null, ...IDENTITY, ...more };
}

/**
 * @param {string} id
 * @param {Partial<import("../app/api/types.d.ts").Lead>} [more]
 * @returns {import("../app/api/types.d.ts").Lead}
 */
export function lead(id, more = {}) {
  return { id, label: `${id} lead`, kind: "mode_2", rated_a: 10, set_a: 10, settings_a: [], has_plug_sensor: "not_known", length_m: null, setting_shown_a: null, setting_shown_at: null, ...IDENTITY, ...more };
}

/**
 * A home with one socket and one lead, unless told otherwise.
 * @param {Partial<import("../app/api/types.d.ts").Household>} [more]
 */
export function checkedHome(more = {}) {
  return home({ outlets: [outlet("garage")], leads: [lead("long")], ...more });
}

/**
 * @param {string} name
 * @param {Partial<import("../app/api/check_types.d.ts").SafetyReport>} [more]
 * @returns {import("../app/api/check_types.d.ts").SafetyReport}
 */
export function report(name, more = {}) {
  return {
    id: "r1", sign: name, words: `Words of ${name}`, effect: "do_not_use", state: "open", outlet_id: "garage", lead_id: "long", check_id: null, seen_at: "2026-11-25T12:00:00Z",
    reported_at: "2026-11-25T12:00:00Z", reported_by_name: "Ada Finch", note: "", withdrawn_by_name: null, withdrawn_at: null, withdrawal_reason: null, withdrawal_file_id: null,
    items: [{ item_kind: "outlet", item_id: "garage", label: "garage socket", clearance: "do_not_use", lifts: "an inspection", lifted_by: null }], ...more,
  };
}

/**
 * @param {Partial<import("../app/api/check_types.d.ts").SupervisedCharge>} [more]
 * @returns {import("../app/api/check_types.d.ts").SupervisedCharge}
 */
export function supervised(more = {}) {
  return {
    id: "s1", outlet_id: "garage", lead_id: "long", current_a: 10, state: "first_to_come", words: "Under way.", started_at: "2026-11-25T12:00:00Z",
    first_from_at: "2026-11-25T12:30:00Z", later_from_at: "2026-11-25T14:00:00Z", until_at: "2026-11-26T00:00:00Z", first_felt_at: null, first_answer: null,
    later_felt_at: null, later_answer: null, ended_at: null, is_clear: false, ...more,
  };
}
