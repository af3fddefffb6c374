/** Whether a car's lead is enough. */
import { get } from "./client.js";
import { addressQuery } from "../lib/lead_words.js";

/**
 * The verdict, worked out when asked.
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {import("../lib/lead_words.js").LeadAsked} [asked]
 * @param {{ signal?: AbortSignal }} [reading]
 * @returns {Promise<import("./types.d.ts").Answer<import("./lead_types.d.ts").LeadVerdict>>}
 */
export function getLeadVerdict(householdId, vehicleId, asked = {}, reading = {}) {
  return get(`/households/${householdId}/vehicles/${vehicleId}/lead_verdict${addressQuery(asked)}`, reading);
}
