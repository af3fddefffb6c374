/** What the cars of a home were charged with: records, their import, and what they come to by day. */
import { addressOf, call, get } from "./client.js";

/** @typedef {import("./charging_types.d.ts").Charged} Charged */
/** @typedef {import("./charging_types.d.ts").ChargingEntry} ChargingEntry */
/** @typedef {import("./charging_types.d.ts").ChargingImport} ChargingImport */
/** @typedef {import("./charging_types.d.ts").ChargingPage} ChargingPage */
/** @typedef {import("./charging_types.d.ts").ChargingRecord} ChargingRecord */
/** @typedef {{ signal?: AbortSignal }} Reading */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * @param {string} householdId
 * @param {{ from_on: string, to_on: string, page?: number, page_size?: number }} asked
 * @param {Reading} [reading]
 * @returns {Promise<Answer<ChargingPage>>}
 */
export function listCharging(householdId, asked, reading) {
  return get(`/households/${householdId}/charging_records`, { ...reading, query: asked });
}

/**
 * @param {string} householdId
 * @param {string} recordId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<ChargingRecord>>}
 */
export function getCharging(householdId, recordId, reading) {
  return get(`/households/${householdId}/charging_records/${recordId}`, reading);
}

/**
 * @param {string} householdId
 * @param {ChargingEntry} entry
 * @param {string} key
 * @returns {Promise<Answer<ChargingRecord>>}
 */
export function addCharging(householdId, entry, key) {
  return call("POST", `/households/${householdId}/charging_records`, { body: entry, key });
}

/**
 * @param {string} householdId
 * @param {string} recordId
 * @param {Partial<ChargingEntry>} changes
 * @param {string | null} etag
 * @returns {Promise<Answer<ChargingRecord>>}
 */
export function changeCharging(householdId, recordId, changes, etag) {
  return call("PATCH", `/households/${householdId}/charging_records/${recordId}`, { body: changes, etag });
}

/**
 * @param {string} householdId
 * @param {string} recordId
 * @param {string | null} etag
 * @returns {Promise<Answer<null>>}
 */
export function removeCharging(householdId, recordId, etag) {
  return call("DELETE", `/households/${householdId}/charging_records/${recordId}`, { etag });
}

/**
 * Read a table, or check it without keeping anything.
 * @param {string} householdId
 * @param {{ csv: string, is_dry_run: boolean }} body
 * @param {string} key
 * @returns {Promise<Answer<ChargingImport>>}
 */
export function importCsv(householdId, body, key) {
  return call("POST", `/households/${householdId}/charging_records/csv`, { body, key });
}

/**
 * Read charge detail records (OCPI 2.2.1), or check them without keeping anything.
 * @param {string} householdId
 * @param {{ vehicle_id: string, outlet_id: string | null, cdrs: object[], is_dry_run: boolean }} body
 * @param {string} key
 * @returns {Promise<Answer<ChargingImport>>}
 */
export function importCdrs(householdId, body, key) {
  return call("POST", `/households/${householdId}/charging_records/ocpi_cdrs`, { body, key });
}

/**
 * @param {string} householdId
 * @param {{ from_on: string, to_on: string }} asked
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Charged>>}
 */
export function getCharged(householdId, asked, reading) {
  return get(`/households/${householdId}/charged`, { ...reading, query: asked });
}

/**
 * Where a car's plan can be downloaded for its charging point.
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {"1.6" | "2.0.1"} version of OCPP
 * @returns {string}
 */
export function profileAddress(householdId, vehicleId, version) {
  return addressOf(`/households/${householdId}/plan/charging_profile`, { version, vehicle_id: vehicleId });
}
