/** A household's plan and the runs that recompute plans. */
import { get } from "./client.js";

/** @typedef {import("./types.d.ts").Plan} Plan */
/** @typedef {import("./types.d.ts").PlanWeek} PlanWeek */
/** @typedef {import("./types.d.ts").WorkingStep} WorkingStep */
/** @typedef {import("./types.d.ts").Run} Run */
/** @typedef {{ signal?: AbortSignal }} Reading */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Plan>>}
 */
export function getPlan(householdId, reading) {
  return get(`/households/${householdId}/plan`, reading);
}

/**
 * The same without why each charging time is there and what other ways would cost.
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Plan>>}
 */
export function getPlanBriefly(householdId, reading) {
  return get(`/households/${householdId}/plan?is_brief=true`, reading);
}

/**
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<PlanWeek>>}
 */
export function getPlanWeek(householdId, reading) {
  return get(`/households/${householdId}/plan/week`, reading);
}

/**
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ steps: WorkingStep[] }>>}
 */
export function getPlanWorking(householdId, reading) {
  return get(`/households/${householdId}/plan/working`, reading);
}

/**
 * @param {{ version_id?: string, page?: number }} query
 * @param {Reading} [reading]
 * @returns {Promise<Answer<import("./types.d.ts").Paged<Run>>>}
 */
export function listRuns(query, reading) {
  return get("/runs", { ...reading, query });
}

/**
 * @param {string} runId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Run>>}
 */
export function getRun(runId, reading) {
  return get(`/runs/${runId}`, reading);
}

/**
 * A home's week in totals, for its administrator; 404 while it has no plan.
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<import("./types.d.ts").WeekTotals>>}
 */
export function getTotals(householdId, reading) {
  return get(`/households/${householdId}/totals`, reading);
}
