/** Drawings of the drive, and where the outlet should go. */
import { addressOf, call, get } from "./client.js";

/** @typedef {import("./drive_types.d.ts").Drive} Drive */
/** @typedef {import("./drive_types.d.ts").Drawing} Drawing */
/** @typedef {{ signal?: AbortSignal }} Reading */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ items: Drive[], most: number }>>}
 */
export function listDrives(householdId, reading) {
  return get(`/households/${householdId}/drives`, reading);
}

/**
 * @param {string} householdId
 * @param {string} driveId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Drive>>}
 */
export function getDrive(householdId, driveId, reading) {
  return get(`/households/${householdId}/drives/${driveId}`, reading);
}

/**
 * @param {string} householdId
 * @param {{ label: string, drawing: Drawing }} body
 * @param {string} key
 * @returns {Promise<Answer<Drive>>}
 */
export function addDrive(householdId, body, key) {
  return call("POST", `/households/${householdId}/drives`, { body, key });
}

/**
 * @param {string} householdId
 * @param {string} driveId
 * @param {{ label: string, drawing: Drawing }} body
 * @param {string | null} etag
 * @returns {Promise<Answer<Drive>>}
 */
export function putDrive(householdId, driveId, body, etag) {
  return call("PUT", `/households/${householdId}/drives/${driveId}`, { body, etag });
}

/**
 * @param {string} householdId
 * @param {string} driveId
 * @param {string | null} etag
 * @returns {Promise<Answer<null>>}
 */
export function deleteDrive(householdId, driveId, etag) {
  return call("DELETE", `/households/${householdId}/drives/${driveId}`, { etag });
}

/**
 * Where the outlet should go; worked out when asked.
 * @param {string} householdId
 * @param {string} driveId
 * @returns {Promise<Answer<import("./drive_types.d.ts").Siting>>}
 */
export function findPositions(householdId, driveId) {
  return get(`/households/${householdId}/drives/${driveId}/positions`);
}

/**
 * The address of the drawing for paper.
 * @param {string} householdId
 * @param {string} driveId
 * @returns {string}
 */
export function driveSvgAddress(householdId, driveId) {
  return addressOf(`/households/${householdId}/drives/${driveId}/drive.svg`);
}
