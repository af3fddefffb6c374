/** Visits, links and the scheme's list of electricians, as an administrator works with them. */
import { call, get } from "./client.js";

/** @typedef {import("./visit_types.d.ts").VisitRow} VisitRow */
/** @typedef {import("./visit_types.d.ts").Electrician} Electrician */
/** @typedef {import("./visit_types.d.ts").DecidedInspection} DecidedInspection */
/** @typedef {import("./visit_types.d.ts").Visit} Visit */
/** @typedef {import("./visit_types.d.ts").HomeVisit} HomeVisit */
/** @typedef {import("./visit_types.d.ts").InspectionLinkRow} InspectionLinkRow */
/** @typedef {{ signal?: AbortSignal }} Reading */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */
/**
 * @template T
 * @typedef {import("./types.d.ts").Paged<T>} Paged
 */

/**
 * @param {Record<string, string | number>} query
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Paged<VisitRow>>>}
 */
export function listVisits(query, reading) {
  return get("/visits", { query, ...reading });
}

/**
 * @param {string} visitId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Visit>>}
 */
export function getVisit(visitId, reading) {
  return get(`/visits/${visitId}`, reading);
}

/**
 * @param {string} visitId
 * @param {Record<string, unknown>} change
 * @param {string | null} etag
 * @returns {Promise<Answer<Visit>>}
 */
export function changeVisit(visitId, change, etag) {
  return call("PATCH", `/visits/${visitId}`, { body: change, etag });
}

/**
 * @param {string} visitId
 * @param {string} state
 * @param {string} note
 * @param {string} key
 * @returns {Promise<Answer<Visit>>}
 */
export function moveVisit(visitId, state, note, key) {
  return call("POST", `/visits/${visitId}/steps`, { body: { state, note }, key });
}

/**
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ items: HomeVisit[] }>>}
 */
export function listHomeVisits(householdId, reading) {
  return get(`/households/${householdId}/visits`, reading);
}

/**
 * @param {string} householdId
 * @param {{ outlet_ids: string[], reason: string }} asked
 * @param {string} key
 * @returns {Promise<Answer<HomeVisit>>}
 */
export function askVisit(householdId, asked, key) {
  return call("POST", `/households/${householdId}/visits`, { body: asked, key });
}

/**
 * @param {{ visit_ids: string[], electrician_id: string | null, sent_to: string, expires_in_days: number }} wanted
 * @param {string} key
 * @returns {Promise<Answer<import("./visit_types.d.ts").InspectionLinkMade>>}
 */
export function makeInspectionLink(wanted, key) {
  return call("POST", "/inspection_links", { body: wanted, key });
}

/**
 * @param {{ page: number, page_size: number }} query
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Paged<InspectionLinkRow>>>}
 */
export function listInspectionLinks(query, reading) {
  return get("/inspection_links", { query, ...reading });
}

/**
 * @param {string} linkId
 * @param {string} key
 * @returns {Promise<Answer<unknown>>}
 */
export function revokeInspectionLink(linkId, key) {
  return call("POST", `/inspection_links/${linkId}/revocation`, { body: {}, key });
}

/**
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ items: Electrician[] }>>}
 */
export function listElectricians(reading) {
  return get("/electricians", reading);
}

/**
 * @param {Record<string, unknown>} entry
 * @param {string} key
 * @returns {Promise<Answer<Electrician>>}
 */
export function addElectrician(entry, key) {
  return call("POST", "/electricians", { body: entry, key });
}

/**
 * @param {string} electricianId
 * @param {Record<string, unknown>} entry
 * @param {string | null} etag
 * @returns {Promise<Answer<Electrician>>}
 */
export function changeElectrician(electricianId, entry, etag) {
  return call("PATCH", `/electricians/${electricianId}`, { body: entry, etag });
}

/**
 * @param {string} electricianId
 * @param {string} key
 * @returns {Promise<Answer<unknown>>}
 */
export function removeElectrician(electricianId, key) {
  return call("POST", `/electricians/${electricianId}/removal`, { body: {}, key });
}

/**
 * @param {Record<string, string | number>} query
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Paged<DecidedInspection>>>}
 */
export function listInspections(query, reading) {
  return get("/inspections", { query, ...reading });
}

/**
 * @param {DecidedInspection} inspection
 * @param {string} key
 * @returns {Promise<Answer<unknown>>}
 */
export function acceptInspection(inspection, key) {
  return call("POST", `/households/${inspection.household_id}/inspections/${inspection.id}/acceptance`, { body: {}, key });
}

/**
 * @param {DecidedInspection} inspection
 * @param {string} reason
 * @param {string} key
 * @returns {Promise<Answer<unknown>>}
 */
export function refuseInspection(inspection, reason, key) {
  return call("POST", `/households/${inspection.household_id}/inspections/${inspection.id}/refusal`, { body: { reason }, key });
}

/**
 * @param {DecidedInspection} inspection
 * @param {string} sentTo
 * @param {string} key
 * @returns {Promise<Answer<import("./visit_types.d.ts").InspectionLinkMade>>}
 */
export function makeCorrectionLink(inspection, sentTo, key) {
  return call("POST", `/households/${inspection.household_id}/inspections/${inspection.id}/correction_link`, { body: { sent_to: sentTo }, key });
}
