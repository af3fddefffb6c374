/** A home's appliances, and what moving them would add. */
import { call, get } from "./client.js";

/** @typedef {import("./appliance_types.d.ts").ApplianceAdvice} ApplianceAdvice */
/** @typedef {import("./appliance_types.d.ts").Appliances} Appliances */
/** @typedef {{ signal?: AbortSignal }} Reading */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Appliances>>}
 */
export function getAppliances(householdId, reading) {
  return get(`/households/${householdId}/appliances`, reading);
}

/**
 * @param {string} householdId
 * @param {Appliances} stated
 * @param {string | null} etag
 * @returns {Promise<Answer<Appliances>>}
 */
export function putAppliances(householdId, stated, etag) {
  return call("PUT", `/households/${householdId}/appliances`, { body: stated, etag });
}

/**
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<ApplianceAdvice>>}
 */
export function getApplianceAdvice(householdId, reading) {
  return get(`/households/${householdId}/appliance_advice`, reading);
}
