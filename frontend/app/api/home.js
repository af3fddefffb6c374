/** One home with all that is recorded about it: a member's own, or any of an administrator's scheme. */
import { get } from "./client.js";

/**
 * @param {string} householdId
 * @param {{ signal?: AbortSignal }} [reading]
 * @returns {Promise<import("./types.d.ts").Answer<import("./types.d.ts").Household>>}
 */
export function getHousehold(householdId, reading) {
  return get(`/households/${householdId}`, reading);
}

/**
 * The same without inspections, rechecks and the working behind each answer: for pages that ask what may be used now.
 * @param {string} householdId
 * @param {{ signal?: AbortSignal }} [reading]
 * @returns {Promise<import("./types.d.ts").Answer<import("./types.d.ts").Household>>}
 */
export function getHouseholdBriefly(householdId, reading) {
  return get(`/households/${householdId}?is_brief=true`, reading);
}
