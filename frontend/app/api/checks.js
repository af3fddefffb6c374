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
  return call("POST", checkPath(householdId), { body: check, key });
}

/**
 * Send a report that stops use: a check's, an incident's or a feeling's; the same key says that it is the same report.
 * @param {import("./check_types.d.ts").StopReport} report
 * @returns {Promise<Answer<import("./check_types.d.ts").StopReply>>}
 */
export function sendStopReport({ path, body, key }) {
  return call("POST", path, { body, key });
}

export const checkPath = (/** @type {string} */ householdId) => `/households/${householdId}/checks`;
export const incidentPath = (/** @type {string} */ householdId) => `/households/${householdId}/incidents`;
export const feelingPath = (/** @type {string} */ householdId, /** @type {string} */ chargeId) => `/households/${householdId}/supervised_charges/${chargeId}/feelings`;

/**
 * What was reported, the newest first; many at once unless a page is named, so that none that stands is left out.
 * @param {string} householdId
 * @param {Reading} [reading]
 * @param {{ page: number, page_size: number }} [query]
 * @returns {Promise<Answer<Paged<SafetyReport>>>}
 */
export function listReports(householdId, reading, query = { page: 1, page_size: 200 }) {
  return get(`/households/${householdId}/safety_reports`, { query, ...reading });
}

/**
 * Take a mistaken report back; report, reason and photo are kept.
 * @param {string} householdId
 * @param {string} reportId
 * @param {{ reason: string, file_id: string | null }} withdrawal
 * @param {string} key
 * @returns {Promise<Answer<SafetyReport>>}
 */
export function withdrawReport(householdId, reportId, withdrawal, key) {
  return call("POST", `/households/${householdId}/safety_reports/${reportId}/withdrawal`, { body: withdrawal, key });
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
  return call("POST", feelingPath(householdId, chargeId), { body: { answer }, key });
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
