/** What charging stands for in carbon, of a home and of the scheme. */
import { get } from "./client.js";

/** @typedef {{ from_on?: string, to_on?: string, set_year?: string }} CarbonQuery */
/** @typedef {{ signal?: AbortSignal }} Reading */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * @param {string} householdId
 * @param {CarbonQuery} query
 * @param {Reading} [reading]
 * @returns {Promise<Answer<import("./carbon_types.d.ts").Carbon>>}
 */
export function getHomeCarbon(householdId, query, reading) {
  return get(`/households/${householdId}/carbon`, { ...reading, query });
}

/**
 * @param {CarbonQuery} query
 * @param {Reading} [reading]
 * @returns {Promise<Answer<import("./carbon_types.d.ts").SchemeCarbon>>}
 */
export function getSchemeCarbon(query, reading) {
  return get("/carbon", { ...reading, query });
}
