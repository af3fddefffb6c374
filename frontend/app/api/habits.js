/** A home's habits, and the miles of single days of a car. */
import { call, get } from "./client.js";

/** @typedef {import("./habit_types.d.ts").Habits} Habits */
/** @typedef {import("./habit_types.d.ts").DiaryDay} DiaryDay */
/** @typedef {import("./habit_types.d.ts").DiaryEntry} DiaryEntry */
/** @typedef {{ signal?: AbortSignal }} Reading */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Habits>>}
 */
export function getHabits(householdId, reading) {
  return get(`/households/${householdId}/habits`, reading);
}

/**
 * @param {string} householdId
 * @param {Habits} habits
 * @param {string | null} etag
 * @returns {Promise<Answer<Habits>>}
 */
export function putHabits(householdId, habits, etag) {
  return call("PUT", `/households/${householdId}/habits`, { body: habits, etag });
}

/**
 * The days of the last three months, the oldest first.
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ items: DiaryDay[] }>>}
 */
export function listDiary(householdId, vehicleId, reading) {
  return get(`/households/${householdId}/vehicles/${vehicleId}/diary`, reading);
}

/**
 * Enter some days; one that stands there already takes the new miles.
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {DiaryEntry[]} days
 * @param {string} key
 * @returns {Promise<Answer<{ items: DiaryDay[] }>>}
 */
export function enterDiary(householdId, vehicleId, days, key) {
  return call("POST", `/households/${householdId}/vehicles/${vehicleId}/diary`, { body: { days }, key });
}

/**
 * @param {string} householdId
 * @param {string} vehicleId
 * @param {string} dayId
 * @returns {Promise<Answer<null>>}
 */
export function removeDiaryDay(householdId, vehicleId, dayId) {
  return call("DELETE", `/households/${householdId}/vehicles/${vehicleId}/diary/${dayId}`);
}
