/** A safety officer's decisions on a home: answers made stricter, and due dates put off. */
import { call, get } from "./client.js";

/** @typedef {import("./check_types.d.ts").Override} Override */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * The home's decisions, the newest first, ended ones included.
 * @param {string} householdId
 * @param {{ page: number, page_size: number }} query
 * @param {{ signal?: AbortSignal }} [reading]
 * @returns {Promise<Answer<import("./types.d.ts").Paged<Override>>>}
 */
export function listOverrides(householdId, query, reading) {
  return get(`/households/${householdId}/overrides`, { query, ...reading });
}

/**
 * @param {string} householdId
 * @param {import("./check_types.d.ts").OverrideEntry} decision
 * @param {string} key
 * @returns {Promise<Answer<Override>>}
 */
export function makeOverride(householdId, decision, key) {
  return call("POST", `/households/${householdId}/overrides`, { body: decision, key });
}

/**
 * @param {string} householdId
 * @param {string} overrideId
 * @param {string} key
 * @returns {Promise<Answer<Override>>}
 */
export function endOverride(householdId, overrideId, key) {
  return call("POST", `/households/${householdId}/overrides/${overrideId}/ending`, { body: {}, key });
}
