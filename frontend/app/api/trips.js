/** A member's business trips, whose car it is, and what was claimed elsewhere. */
import { call, get } from "./client.js";

/** @typedef {import("./claim_types.d.ts").Trip} Trip */
/** @typedef {import("./claim_types.d.ts").TripEntry} TripEntry */
/** @typedef {import("./claim_types.d.ts").CarHolding} CarHolding */
/** @typedef {import("./claim_types.d.ts").BusinessJourney} BusinessJourney */
/** @typedef {import("./claim_types.d.ts").MilesElsewhere} MilesElsewhere */
/** @typedef {{ signal?: AbortSignal }} Reading */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * @param {string} householdId
 * @param {string} part
 * @returns {string}
 */
const of = (householdId, part) => `/households/${householdId}/${part}`;

/**
 * How each car of the home is held, the newest record of a car first.
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ items: CarHolding[] }>>}
 */
export function listHoldings(householdId, reading) {
  return get(of(householdId, "car_holdings"), reading);
}

/**
 * @param {string} householdId
 * @param {{ vehicle_id: string, from_on: string, held_as: string }} entry
 * @param {string} key
 * @returns {Promise<Answer<CarHolding>>}
 */
export function addHolding(householdId, entry, key) {
  return call("POST", of(householdId, "car_holdings"), { body: entry, key });
}

/**
 * @param {string} householdId
 * @param {string} holdingId
 * @returns {Promise<Answer<null>>}
 */
export function deleteHolding(householdId, holdingId) {
  return call("DELETE", of(householdId, `car_holdings/${holdingId}`), { etag: "*" });
}

/**
 * @param {string} householdId
 * @param {{ month: string, page?: number, page_size?: number }} query
 * @param {Reading} [reading]
 * @returns {Promise<Answer<import("./claim_types.d.ts").Trips>>}
 */
export function listTrips(householdId, query, reading) {
  return get(of(householdId, "business_trips"), { query, ...reading });
}

/**
 * @param {string} householdId
 * @param {TripEntry} entry
 * @param {string} key
 * @returns {Promise<Answer<Trip>>}
 */
export function addTrip(householdId, entry, key) {
  return call("POST", of(householdId, "business_trips"), { body: entry, key });
}

/**
 * @param {string} householdId
 * @param {string} tripId
 * @returns {Promise<Answer<Trip>>}
 */
export function getTrip(householdId, tripId) {
  return get(of(householdId, `business_trips/${tripId}`));
}

/**
 * @param {string} householdId
 * @param {string} tripId
 * @param {TripEntry} entry
 * @param {string | null} etag
 * @returns {Promise<Answer<Trip>>}
 */
export function changeTrip(householdId, tripId, entry, etag) {
  return call("PATCH", of(householdId, `business_trips/${tripId}`), { body: entry, etag });
}

/**
 * @param {string} householdId
 * @param {string} tripId
 * @param {string | null} etag
 * @returns {Promise<Answer<null>>}
 */
export function deleteTrip(householdId, tripId, etag) {
  return call("DELETE", of(householdId, `business_trips/${tripId}`), { etag });
}

/**
 * Read trips out of a table; a dry run stores nothing.
 * @param {string} householdId
 * @param {string} csv
 * @param {boolean} isDryRun
 * @param {string} key
 * @returns {Promise<Answer<import("./claim_types.d.ts").TripImport>>}
 */
export function importTrips(householdId, csv, isDryRun, key) {
  return call("POST", of(householdId, "business_trips/import"), { csv, key, query: { is_dry_run: isDryRun } });
}

/**
 * Planned journeys of the last month that may be business trips.
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ items: BusinessJourney[] }>>}
 */
export function listBusinessJourneys(householdId, reading) {
  return get(of(householdId, "business_journeys"), reading);
}

/**
 * @param {string} householdId
 * @param {{ journey_id: string, origin: string, destination: string, reason: string }[]} journeys
 * @param {string} key
 * @returns {Promise<Answer<{ items: Trip[] }>>}
 */
export function takeJourneys(householdId, journeys, key) {
  return call("POST", of(householdId, "business_journeys"), { body: { journeys }, key });
}

/**
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ items: MilesElsewhere[] }>>}
 */
export function getMilesElsewhere(householdId, reading) {
  return get(of(householdId, "miles_elsewhere"), reading);
}

/**
 * @param {string} householdId
 * @param {MilesElsewhere[]} items
 * @param {string | null} etag
 * @returns {Promise<Answer<{ items: MilesElsewhere[] }>>}
 */
export function putMilesElsewhere(householdId, items, etag) {
  const body = { items: items.map(({ tax_year_from_on, miles }) => ({ tax_year_from_on, miles })) };
  return call("PUT", of(householdId, "miles_elsewhere"), { body, etag });
}
