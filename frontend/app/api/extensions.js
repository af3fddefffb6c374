/** Extension leads in use at a home, and what its cars draw at its outlets. */
import { call, get } from "./client.js";

/** @typedef {import("./extension_types.d.ts").ExtensionLead} ExtensionLead */
/** @typedef {{ signal?: AbortSignal }} Reading */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * Those in use first; many at once, so that none in use is left out.
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<import("./types.d.ts").Paged<ExtensionLead>>>}
 */
export function listExtensions(householdId, reading) {
  return get(`/households/${householdId}/extension_leads`, { query: { page: 1, page_size: 200 }, ...reading });
}

/**
 * @param {string} householdId
 * @param {Partial<import("./extension_types.d.ts").ExtensionEntry>} entry
 * @param {string} key
 * @returns {Promise<Answer<ExtensionLead>>}
 */
export function recordExtension(householdId, entry, key) {
  return call("POST", `/households/${householdId}/extension_leads`, { body: entry, key });
}

/**
 * @param {string} householdId
 * @param {string} extensionId
 * @param {string} key
 * @returns {Promise<Answer<ExtensionLead>>}
 */
export function endExtension(householdId, extensionId, key) {
  return call("POST", `/households/${householdId}/extension_leads/${extensionId}/ending`, { key });
}

/**
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<import("./extension_types.d.ts").HomeClearance>>}
 */
export function getClearance(householdId, reading) {
  return get(`/households/${householdId}/clearance`, reading);
}
