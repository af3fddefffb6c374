/** Checks, incidents, what was reported, and the supervised first charge of the member's own home. */
import { call, get } from "./client.js";

/** @typedef {import("./check_types.d.ts").SignTable} SignTable */
/** @typedef {import("./check_types.d.ts").SafetyReport} SafetyReport */
/** @typedef {import("./check_types.d.ts").SupervisedCharge} SupervisedCharge */
/** @typedef {{ signal?: AbortSignal }} Reading */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */
/**
 * @template T
 * @typedef {import("./types.d.ts").Paged<T>} Paged
 */

/**
 * The questions of the check, the signs with what they stop, whom to ring.
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<SignTable>>}
 */
export function getSigns(householdId, reading) {
  return get(`/households/${householdId}/signs`, reading);
}

/**
 * @param {string} householdId
 * @param {import("./check_types.d.ts").CheckEntry} check
 * @param {string} key
 * @returns {Promise<Answer<import("./check_types.d.ts").CheckReply>>}
 */
export function recordCheck(householdId, check, key) {
  return call("POST", `/households/${householdId}/checks`, { body: check, key });
}

/**
 * @param {string} householdId
 * @param {import("./check_types.d.ts").IncidentEntry} incident
 * @param {string} key
 * @returns {Promise<Answer<import("./check_types.d.ts").IncidentReply>>}
 */
export function reportIncident(householdId, incident, key) {
  return call("POST", `/households/${householdId}/incidents`, { body: incident, key });
}

/**
 * What was reported, the newest first.
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Paged<SafetyReport>>>}
 */
export function listReports(householdId, reading) {
  return get(`/households/${householdId}/safety_reports`, reading);
}

/**
 * The supervised charges, the newest first.
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Paged<SupervisedCharge>>>}
 */
export function listSupervised(householdId, reading) {
  return get(`/households/${householdId}/supervised_charges`, reading);
}

/**
 * @param {string} householdId
 * @param {{ outlet_id: string, lead_id: string | null, current_a: number }} wanted
 * @param {string} key
 * @returns {Promise<Answer<SupervisedCharge>>}
 */
export function startSupervised(householdId, wanted, key) {
  return call("POST", `/households/${householdId}/supervised_charges`, { body: wanted, key });
}

/**
 * @param {string} householdId
 * @param {string} chargeId
 * @param {import("./check_types.d.ts").FeelAnswer} answer
 * @param {string} key
 * @returns {Promise<Answer<import("./check_types.d.ts").FeelingReply>>}
 */
export function recordFeeling(householdId, chargeId, answer, key) {
  return call("POST", `/households/${householdId}/supervised_charges/${chargeId}/feelings`, { body: { answer }, key });
}

/**
 * @param {string} householdId
 * @param {string} leadId
 * @param {{ file_id: string, shown_a: number }} shown
 * @param {string} key
 * @returns {Promise<Answer<import("./check_types.d.ts").SettingShown>>}
 */
export function recordSettingPhoto(householdId, leadId, shown, key) {
  return call("POST", `/households/${householdId}/leads/${leadId}/setting_photo`, { body: shown, key });
}
