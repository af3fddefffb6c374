/** Tariffs ranked for a home, what the ranking needs of its meter, and who can take a tariff. */
import { call, get } from "./client.js";

/** @typedef {import("./tariff_ranking_types.d.ts").TariffComparison} TariffComparison */
/** @typedef {import("./tariff_ranking_types.d.ts").Meter} Meter */
/** @typedef {import("./tariff_ranking_types.d.ts").MeterReading} MeterReading */
/** @typedef {import("./tariff_ranking_types.d.ts").Taking} Taking */
/** @typedef {{ signal?: AbortSignal }} Reading */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * Worked out when asked; `petrol` names the petrol car to compare with.
 * @param {string} householdId
 * @param {Record<string, string>} petrol
 * @param {Reading} [reading]
 * @returns {Promise<Answer<TariffComparison>>}
 */
export function compareTariffs(householdId, petrol, reading) {
  const query = new URLSearchParams(petrol).toString();
  return get(`/households/${householdId}/tariff_comparison${query && `?${query}`}`, reading);
}

/**
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Meter>>}
 */
export function getMeter(householdId, reading) {
  return get(`/households/${householdId}/meter`, reading);
}

/**
 * @param {string} householdId
 * @param {Meter} body
 * @param {string | null} etag
 * @returns {Promise<Answer<Meter>>}
 */
export function putMeter(householdId, body, etag) {
  return call("PUT", `/households/${householdId}/meter`, { body, etag });
}

/**
 * The readings of the home's meter, the newest day first.
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ items: MeterReading[] }>>}
 */
export function listMeterReadings(householdId, reading) {
  return get(`/households/${householdId}/meter_readings`, reading);
}

/**
 * @param {string} householdId
 * @param {Record<string, unknown>} body read_on, kwh, register
 * @param {string} key
 * @returns {Promise<Answer<MeterReading>>}
 */
export function addMeterReading(householdId, body, key) {
  return call("POST", `/households/${householdId}/meter_readings`, { body, key });
}

/**
 * @param {string} householdId
 * @param {string} readingId
 * @returns {Promise<Answer<null>>}
 */
export function removeMeterReading(householdId, readingId) {
  return call("DELETE", `/households/${householdId}/meter_readings/${readingId}`);
}

/**
 * @param {string} tariffId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Taking>>}
 */
export function getTaking(tariffId, reading) {
  return get(`/tariffs/${tariffId}/taking`, reading);
}

/**
 * @param {string} tariffId
 * @param {Taking} body
 * @param {string | null} etag
 * @returns {Promise<Answer<Taking>>}
 */
export function putTaking(tariffId, body, etag) {
  return call("PUT", `/tariffs/${tariffId}/taking`, { body, etag });
}

/**
 * A tariff with a draft, from an object of the open standard OCPI 2.2.1.
 * @param {Record<string, unknown>} body name, valid_from_on, standing_pence_per_day, tariff
 * @param {string} key
 * @returns {Promise<Answer<import("./types.d.ts").Tariff>>}
 */
export function importOcpi(body, key) {
  return call("POST", "/tariffs/import_ocpi", { body, key });
}
