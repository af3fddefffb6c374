/** What a car's odometer stood at, and days of its diary from a CSV text. */
import { call, get } from "./client.js";

/** @typedef {import("./lead_types.d.ts").Odometer} Odometer */
/** @typedef {import("./lead_types.d.ts").OdometerReading} OdometerReading */
/** @typedef {import("./lead_types.d.ts").DiaryImport} DiaryImport */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/** @param {string} householdId @param {string} vehicleId */
const carPath = (householdId, vehicleId) => `/households/${householdId}/vehicles/${vehicleId}`;

/**
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {{ signal?: AbortSignal }} [reading]
 * @returns {Promise<Answer<Odometer>>}
 */
export function getOdometer(householdId, vehicleId, reading) {
  return get(`${carPath(householdId, vehicleId)}/odometer`, reading);
}

/**
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {{ read_on: string, miles: string }} body
 * @param {string} key
 * @returns {Promise<Answer<OdometerReading>>}
 */
export function addOdometerReading(householdId, vehicleId, body, key) {
  return call("POST", `${carPath(householdId, vehicleId)}/odometer`, { body, key });
}

/**
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {string} readingId
 * @returns {Promise<Answer<null>>}
 */
export function removeOdometerReading(householdId, vehicleId, readingId) {
  return call("DELETE", `${carPath(householdId, vehicleId)}/odometer/${readingId}`);
}

/**
 * Take days in from a CSV text, all or none; or only look at it.
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {string} csv
 * @param {boolean} isDryRun
 * @param {string} key
 * @returns {Promise<Answer<DiaryImport>>}
 */
export function importDiary(householdId, vehicleId, csv, isDryRun, key) {
  return call("POST", `${carPath(householdId, vehicleId)}/diary/import`, { csv, key, query: { is_dry_run: isDryRun } });
}
