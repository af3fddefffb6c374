/** What an electrician reads and sends with the secret of his link; he has no account. */
import { call } from "./client.js";

/** @typedef {import("./visit_types.d.ts").LinkView} LinkView */
/** @typedef {import("./visit_types.d.ts").VisitView} VisitView */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * @param {string} token
 * @returns {Record<string, string>}
 */
function holding(token) {
  return { "Inspection-Link": token };
}

/**
 * @param {string} token
 * @param {{ signal?: AbortSignal }} [reading]
 * @returns {Promise<Answer<LinkView>>}
 */
export function getInspectionLink(token, reading) {
  return call("GET", "/inspection_link", { headers: holding(token), ...reading });
}

/**
 * @param {string} token
 * @param {string} visitId
 * @returns {Promise<Answer<VisitView>>}
 */
export function getLinkedVisit(token, visitId) {
  return call("GET", `/inspection_link/visits/${visitId}`, { headers: holding(token) });
}

/**
 * @param {string} token
 * @param {string} visitId
 * @param {unknown} draft
 * @param {number} version the one the draft started from
 * @returns {Promise<Answer<{ draft_version: number }>>}
 */
export function saveVisitDraft(token, visitId, draft, version) {
  return call("PUT", `/inspection_link/visits/${visitId}/draft`, { headers: holding(token), body: { draft, draft_version: version } });
}

/**
 * @param {string} token
 * @param {string} visitId
 * @param {Blob} file
 * @param {string} name
 * @param {string} key
 * @returns {Promise<Answer<import("./visit_types.d.ts").StoredFile>>}
 */
export function uploadVisitFile(token, visitId, file, name, key) {
  return call("POST", `/inspection_link/visits/${visitId}/files`, { headers: holding(token), file, query: { purpose: "certificate", name }, key });
}

/**
 * @param {string} token
 * @param {string} visitId
 * @param {import("./visit_types.d.ts").VisitResult} result
 * @param {string} key
 * @returns {Promise<Answer<import("./visit_types.d.ts").Submitted>>}
 */
export function submitVisit(token, visitId, result, key) {
  return call("POST", `/inspection_link/visits/${visitId}/submission`, { headers: holding(token), body: result, key });
}
