/** Inspections and rechecks of a household. */
import { call } from "./client.js";

/** @typedef {import("./types.d.ts").Inspection} Inspection */
/** @typedef {import("./types.d.ts").Recheck} Recheck */

/**
 * @param {string} householdId
 * @param {import("./types.d.ts").InspectionEntry} inspection
 * @param {string} key
 * @returns {Promise<import("./types.d.ts").Answer<Inspection>>}
 */
export function recordInspection(householdId, inspection, key) {
  return call("POST", `/households/${householdId}/inspections`, { body: inspection, key });
}

/**
 * @param {string} householdId
 * @param {string} recheckId
 * @param {string} doneOn YYYY-MM-DD
 * @param {string} key
 * @returns {Promise<import("./types.d.ts").Answer<Recheck>>}
 */
export function completeRecheck(householdId, recheckId, doneOn, key) {
  return call("POST", `/households/${householdId}/rechecks/${recheckId}/completion`, { body: { done_on: doneOn }, key });
}

/**
 * Note that what was observed has been put right.
 * @param {string} householdId
 * @param {string} inspectionId
 * @param {number} position counted from 0
 * @param {string} closedOn YYYY-MM-DD
 * @param {string} key
 * @returns {Promise<import("./types.d.ts").Answer<Inspection>>}
 */
export function closeObservation(householdId, inspectionId, position, closedOn, key) {
  const path = `/households/${householdId}/inspections/${inspectionId}/observations/${position}/closure`;
  return call("POST", path, { body: { closed_on: closedOn }, key });
}
