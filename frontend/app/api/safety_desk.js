/** The safety desk of the scheme, and the safety file of one home. */
import { addressOf, call, get } from "./client.js";

/** @typedef {import("./types.d.ts").Desk} Desk */
/** @typedef {import("./types.d.ts").SafetyFile} SafetyFile */

/**
 * @param {Record<string, string | number>} query
 * @param {{ signal?: AbortSignal }} [reading]
 * @returns {Promise<import("./types.d.ts").Answer<Desk>>}
 */
export function getDesk(query, reading) {
  return get("/safety_desk", { query, ...reading });
}

/**
 * Where the same list is had as a file.
 * @param {Record<string, string | number>} filters
 * @param {"csv" | "xlsx"} format
 * @returns {string}
 */
export function exportAddress(filters, format) {
  return addressOf("/safety_desk/export", { ...filters, format });
}

/**
 * Ask for a visit to each chosen home's outlets that no car may charge from.
 * @param {import("./types.d.ts").ChosenHomes & { reason: string }} chosen
 * @param {string} key
 * @returns {Promise<import("./types.d.ts").Answer<{ asked: number, had_visit: number, had_nothing: number }>>}
 */
export function askVisits(chosen, key) {
  return call("POST", "/safety_desk/visits", { body: chosen, key });
}

/**
 * Mail the members of each chosen home to make the check now, once a person and day.
 * @param {import("./types.d.ts").ChosenHomes} chosen
 * @param {string} key
 * @returns {Promise<import("./types.d.ts").Answer<{ people: import("./types.d.ts").AskedPerson[] }>>}
 */
export function askForChecks(chosen, key) {
  return call("POST", "/safety_desk/check_reminders", { body: chosen, key });
}

/**
 * @param {string} householdId
 * @param {string} at RFC 3339, "" for now
 * @param {{ signal?: AbortSignal }} [reading]
 * @returns {Promise<import("./types.d.ts").Answer<SafetyFile>>}
 */
export function getSafetyFile(householdId, at, reading) {
  return get(`/households/${householdId}/safety_file`, { query: { at }, ...reading });
}

/**
 * Where the file is had on paper.
 * @param {string} householdId
 * @param {string} at
 * @returns {string}
 */
export function pdfAddress(householdId, at) {
  return addressOf(`/households/${householdId}/safety_file.pdf`, { at });
}
