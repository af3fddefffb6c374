/** The home survey, and the arithmetic of what is recorded of a home. */
import { call, get } from "./client.js";

/** @typedef {{ signal?: AbortSignal }} Reading */
/** @typedef {import("./survey_types.d.ts").Survey} Survey */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Survey>>}
 */
export function getSurvey(householdId, reading) {
  return get(`/households/${householdId}/survey`, reading);
}

/**
 * Save one step; the answer is the whole survey as it then stands.
 * @param {string} householdId
 * @param {{ step: string, item_id: string | null }} of
 * @param {Record<string, unknown>} answers
 * @param {string | null} etag
 * @returns {Promise<Answer<Survey>>}
 */
export function saveStep(householdId, { step, item_id }, answers, etag) {
  return call("PUT", `/households/${householdId}/survey/${step}`, { body: { answers }, query: { item_id }, etag });
}

/**
 * @param {string} householdId
 * @param {Record<string, string>} stated what the form asks and nobody records
 * @param {Reading} [reading]
 * @returns {Promise<Answer<import("./survey_types.d.ts").Demand>>}
 */
export function getDemand(householdId, stated, reading) {
  return get(`/households/${householdId}/demand`, { ...reading, query: stated });
}

/**
 * @param {string} householdId
 * @param {string} circuitId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<import("./survey_types.d.ts").CircuitArithmetic>>}
 */
export function getCircuitArithmetic(householdId, circuitId, reading) {
  return get(`/households/${householdId}/circuits/${circuitId}/arithmetic`, reading);
}
