/** Documents and photos of a household. */
import { addressOf, call } from "./client.js";

/** @typedef {import("./visit_types.d.ts").StoredFile} StoredFile */

/**
 * @param {string} householdId
 * @param {"photo" | "setting_photo" | "certificate" | "consent"} purpose
 * @param {File} file
 * @param {string} key
 * @returns {Promise<import("./types.d.ts").Answer<StoredFile>>}
 */
export function uploadFile(householdId, purpose, file, key) {
  return call("POST", `/households/${householdId}/files`, { file, query: { purpose, name: file.name }, key });
}

/**
 * Where a stored file can be fetched.
 * @param {string} householdId
 * @param {string} fileId
 * @returns {string}
 */
export function fileAddress(householdId, fileId) {
  return addressOf(`/households/${householdId}/files/${fileId}`);
}
