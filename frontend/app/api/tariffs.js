/** Tariffs, their versions, previews, publication and half-hour prices. */
import { call, get } from "./client.js";

/** @typedef {import("./types.d.ts").Tariff} Tariff */
/** @typedef {import("./types.d.ts").Version} Version */
/** @typedef {import("./types.d.ts").VersionEntry} VersionEntry */
/** @typedef {{ signal?: AbortSignal }} Reading */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ items: Tariff[] }>>}
 */
export function listTariffs(reading) {
  return get("/tariffs", reading);
}

/**
 * How many homes are on each tariff today.
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ items: import("./types.d.ts").TariffUse[] }>>}
 */
export function listTariffUses(reading) {
  return get("/tariff_uses", reading);
}

/**
 * @param {string} tariffId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Tariff>>}
 */
export function getTariff(tariffId, reading) {
  return get(`/tariffs/${tariffId}`, reading);
}

/**
 * @param {Record<string, unknown>} body name, kind, clock
 * @param {string} key
 * @returns {Promise<Answer<Tariff>>}
 */
export function addTariff(body, key) {
  return call("POST", "/tariffs", { body, key });
}

/**
 * @param {string} tariffId
 * @param {string} versionId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Version>>}
 */
export function getVersion(tariffId, versionId, reading) {
  return get(`/tariffs/${tariffId}/versions/${versionId}`, reading);
}

/**
 * @param {string} tariffId
 * @param {VersionEntry} body
 * @param {string} key
 * @returns {Promise<Answer<Version>>}
 */
export function addVersion(tariffId, body, key) {
  return call("POST", `/tariffs/${tariffId}/versions`, { body, key });
}

/**
 * @param {string} tariffId
 * @param {string} versionId
 * @param {VersionEntry} body
 * @param {string | null} etag
 * @returns {Promise<Answer<Version>>}
 */
export function saveVersion(tariffId, versionId, body, etag) {
  return call("PUT", `/tariffs/${tariffId}/versions/${versionId}`, { body, etag });
}

/**
 * @param {string} tariffId
 * @param {string} versionId
 * @param {string | null} etag
 * @returns {Promise<Answer<null>>}
 */
export function deleteVersion(tariffId, versionId, etag) {
  return call("DELETE", `/tariffs/${tariffId}/versions/${versionId}`, { etag });
}

/**
 * @param {string} tariffId
 * @param {string} versionId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<import("./types.d.ts").VersionPreview>>}
 */
export function previewVersion(tariffId, versionId, reading) {
  return get(`/tariffs/${tariffId}/versions/${versionId}/preview`, reading);
}

/**
 * @param {string} tariffId
 * @param {string} versionId
 * @param {string} key
 * @returns {Promise<Answer<import("./types.d.ts").Publication>>}
 */
export function publishVersion(tariffId, versionId, key) {
  return call("POST", `/tariffs/${tariffId}/versions/${versionId}/publication`, { key });
}

/**
 * @param {string} tariffId
 * @param {string} csv
 * @returns {Promise<Answer<import("./types.d.ts").PricesStored>>}
 */
export function storePrices(tariffId, csv) {
  return call("PUT", `/tariffs/${tariffId}/prices`, { csv });
}
