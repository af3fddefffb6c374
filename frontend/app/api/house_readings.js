/** What a whole home draws half-hour by half-hour, from its meter's file. */
import { call, get } from "./client.js";

/** @typedef {{ count: number, first_at: string | null, ends_at: string | null, energy_kwh: number }} ReadingsSummary */
/** @typedef {{ count: number, first_at: string, ends_at: string, energy_kwh: number, missing: { starts_at: string, ends_at: string }[], stored_count: number }} ReadingsTaken */
/** @typedef {{ text: string, layout: string, clock: string, marks: string, unit: string, is_dry_run: boolean }} HouseFile */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * @param {string} householdId
 * @param {{ signal?: AbortSignal }} [reading]
 * @returns {Promise<Answer<ReadingsSummary>>}
 */
export function getHouseReadings(householdId, reading) {
  return get(`/households/${householdId}/house_readings`, reading);
}

/**
 * @param {string} householdId
 * @param {HouseFile} file
 * @param {string} key
 * @returns {Promise<Answer<ReadingsTaken>>}
 */
export function sendHouseReadings(householdId, file, key) {
  return call("POST", `/households/${householdId}/house_readings`, { body: file, key });
}

/**
 * @param {string} householdId
 * @returns {Promise<Answer<null>>}
 */
export function forgetHouseReadings(householdId) {
  return call("DELETE", `/households/${householdId}/house_readings`);
}
