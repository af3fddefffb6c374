/** Comparisons of a home with what it might be. */
import { call, get } from "./client.js";

/** @typedef {import("./what_if_types.d.ts").WhatIf} WhatIf */
/** @typedef {{ signal?: AbortSignal }} Reading */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ items: WhatIf[], most: number }>>}
 */
export function listWhatIfs(householdId, reading) {
  return get(`/households/${householdId}/what_ifs`, reading);
}

/**
 * Plan the home as it is and as it would be; both are kept.
 * @param {string} householdId
 * @param {{ label: string, changes: import("./what_if_types.d.ts").WhatIfChanges }} body
 * @param {string} key
 * @returns {Promise<Answer<WhatIf>>}
 */
export function compareHome(householdId, body, key) {
  return call("POST", `/households/${householdId}/what_ifs`, { body, key });
}

/**
 * @param {string} householdId
 * @param {string} whatIfId
 * @returns {Promise<Answer<WhatIf>>}
 */
export function getWhatIf(householdId, whatIfId) {
  return get(`/households/${householdId}/what_ifs/${whatIfId}`);
}

/**
 * @param {string} householdId
 * @param {string} whatIfId
 * @param {string | null} etag
 * @returns {Promise<Answer<null>>}
 */
export function deleteWhatIf(householdId, whatIfId, etag) {
  return call("DELETE", `/households/${householdId}/what_ifs/${whatIfId}`, { etag });
}

/**
 * Let the administrator see a comparison's totals, or no longer.
 * @param {string} householdId
 * @param {string} whatIfId
 * @param {boolean} isShared
 * @param {string} key
 * @returns {Promise<Answer<WhatIf>>}
 */
export function shareWhatIf(householdId, whatIfId, isShared, key) {
  return call("POST", `/households/${householdId}/what_ifs/${whatIfId}/sharing`, { body: { is_shared: isShared }, key });
}

/**
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ items: import("./what_if_types.d.ts").SharedWhatIf[] }>>}
 */
export function listSharedWhatIfs(householdId, reading) {
  return get(`/households/${householdId}/shared_what_ifs`, reading);
}

/**
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ items: import("./what_if_types.d.ts").TariffChoice[] }>>}
 */
export function listTariffChoices(householdId, reading) {
  return get(`/households/${householdId}/tariff_choices`, reading);
}

/**
 * What small changes would be worth a year; worked out when asked.
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ as_if: string, items: import("./what_if_types.d.ts").WorthItem[] }>>}
 */
export function getWorth(householdId, reading) {
  return get(`/households/${householdId}/plan/worth`, reading);
}
