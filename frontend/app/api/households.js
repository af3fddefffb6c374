/** Homes, their parts, cars, routines and journeys. */
import { call, get } from "./client.js";

/** @typedef {import("./types.d.ts").Household} Household */
/** @typedef {import("./types.d.ts").HouseholdRow} HouseholdRow */
/** @typedef {import("./types.d.ts").Vehicle} Vehicle */
/** @typedef {import("./types.d.ts").StateOfCharge} StateOfCharge */
/** @typedef {import("./types.d.ts").Routine} Routine */
/** @typedef {import("./types.d.ts").Journey} Journey */
/** @typedef {import("./types.d.ts").JourneyEntry} JourneyEntry */
/** @typedef {import("./types.d.ts").Contract} Contract */
/** @typedef {{ signal?: AbortSignal }} Reading */
/** @typedef {"outlets" | "leads" | "circuits" | "vehicles" | "contracts"} Part */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * @param {Record<string, string | number>} query
 * @param {Reading} [reading]
 * @returns {Promise<Answer<import("./types.d.ts").Paged<HouseholdRow>>>}
 */
export function listHouseholds(query, reading) {
  return get("/households", { ...reading, query });
}

/**
 * @param {Record<string, unknown>} body
 * @param {string} key
 * @returns {Promise<Answer<Household>>}
 */
export function addHousehold(body, key) {
  return call("POST", "/households", { body, key });
}

/**
 * @param {string} householdId
 * @param {Record<string, unknown>} body
 * @param {string | null} etag
 * @returns {Promise<Answer<Household>>}
 */
export function changeHousehold(householdId, body, etag) {
  return call("PATCH", `/households/${householdId}`, { body, etag });
}

/**
 * Add an outlet, a car, a contract and so on to a home.
 * @param {string} householdId
 * @param {Part} part
 * @param {Record<string, unknown>} body
 * @param {string} key
 * @returns {Promise<Answer<{ id: string }>>}
 */
export function addPart(householdId, part, body, key) {
  return call("POST", `/households/${householdId}/${part}`, { body, key });
}

/**
 * Read one part with its ETag, before changing it.
 * @param {string} householdId
 * @param {Part} part
 * @param {string} partId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<any>>}
 */
export function getPart(householdId, part, partId, reading) {
  return get(`/households/${householdId}/${part}/${partId}`, reading);
}

/**
 * @param {string} householdId
 * @param {Part} part
 * @param {string} partId
 * @param {Record<string, unknown>} body
 * @param {string | null} etag
 * @returns {Promise<Answer<any>>}
 */
export function changePart(householdId, part, partId, body, etag) {
  return call("PATCH", `/households/${householdId}/${part}/${partId}`, { body, etag });
}

/**
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ items: Vehicle[] }>>}
 */
export function listVehicles(householdId, reading) {
  return get(`/households/${householdId}/vehicles`, reading);
}

/**
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Vehicle>>}
 */
export function getVehicle(householdId, vehicleId, reading) {
  return get(`/households/${householdId}/vehicles/${vehicleId}`, reading);
}

/**
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {number} percent
 * @param {string | null} etag
 * @returns {Promise<Answer<StateOfCharge>>}
 */
export function putStateOfCharge(householdId, vehicleId, percent, etag) {
  return call("PUT", `/households/${householdId}/vehicles/${vehicleId}/state_of_charge`, { body: { percent }, etag });
}

/**
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<StateOfCharge>>}
 */
export function getStateOfCharge(householdId, vehicleId, reading) {
  return get(`/households/${householdId}/vehicles/${vehicleId}/state_of_charge`, reading);
}

/**
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Routine>>}
 */
export function getRoutine(householdId, vehicleId, reading) {
  return get(`/households/${householdId}/vehicles/${vehicleId}/routine`, reading);
}

/**
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {Routine} routine
 * @param {string | null} etag
 * @returns {Promise<Answer<Routine>>}
 */
export function putRoutine(householdId, vehicleId, routine, etag) {
  return call("PUT", `/households/${householdId}/vehicles/${vehicleId}/routine`, { body: routine, etag });
}

/**
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ items: Journey[] }>>}
 */
export function listJourneys(householdId, vehicleId, reading) {
  return get(`/households/${householdId}/vehicles/${vehicleId}/journeys`, reading);
}

/**
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {string} journeyId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Journey>>}
 */
export function getJourney(householdId, vehicleId, journeyId, reading) {
  return get(`/households/${householdId}/vehicles/${vehicleId}/journeys/${journeyId}`, reading);
}

/**
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {JourneyEntry} entry
 * @param {string} key
 * @returns {Promise<Answer<Journey>>}
 */
export function addJourney(householdId, vehicleId, entry, key) {
  return call("POST", `/households/${householdId}/vehicles/${vehicleId}/journeys`, { body: entry, key });
}

/**
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {string} journeyId
 * @param {JourneyEntry} entry
 * @param {string | null} etag
 * @returns {Promise<Answer<Journey>>}
 */
export function changeJourney(householdId, vehicleId, journeyId, entry, etag) {
  return call("PATCH", `/households/${householdId}/vehicles/${vehicleId}/journeys/${journeyId}`, { body: entry, etag });
}

/**
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {string} journeyId
 * @param {string | null} etag
 * @returns {Promise<Answer<null>>}
 */
export function deleteJourney(householdId, vehicleId, journeyId, etag) {
  return call("DELETE", `/households/${householdId}/vehicles/${vehicleId}/journeys/${journeyId}`, { etag });
}

/**
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<import("./types.d.ts").Supply>>}
 */
export function getSupply(householdId, reading) {
  return get(`/households/${householdId}/supply`, reading);
}

/**
 * @param {string} householdId
 * @param {Record<string, unknown>} body
 * @param {string | null} etag
 * @returns {Promise<Answer<import("./types.d.ts").Supply>>}
 */
export function putSupply(householdId, body, etag) {
  return call("PUT", `/households/${householdId}/supply`, { body, etag });
}

/**
 * Put a circuit's name and runs in place of what was recorded.
 * @param {string} householdId
 * @param {string} circuitId
 * @param {Record<string, unknown>} body
 * @param {string | null} etag
 * @returns {Promise<Answer<import("./types.d.ts").Circuit>>}
 */
export function putCircuit(householdId, circuitId, body, etag) {
  return call("PUT", `/households/${householdId}/circuits/${circuitId}`, { body, etag });
}
