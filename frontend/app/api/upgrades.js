/** Works at a home's outlet: the verdict, quotes, and the scheme's list for a budget. */
import { addressOf, call, get } from "./client.js";

/** @typedef {import("./upgrade_types.d.ts").Upgrade} Upgrade */
/** @typedef {import("./upgrade_types.d.ts").Quote} Quote */
/** @typedef {import("./upgrade_types.d.ts").QuoteEntry} QuoteEntry */
/** @typedef {import("./upgrade_types.d.ts").SchemeUpgrades} SchemeUpgrades */
/** @typedef {{ signal?: AbortSignal }} Reading */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * Plan the coming week as it is and after each work; with a second car where its miles are given.
 * @param {string} householdId
 * @param {Record<string, string>} second
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Upgrade>>}
 */
export function getUpgrade(householdId, second, reading) {
  return get(`/households/${householdId}/upgrade`, { query: second, ...reading });
}

/**
 * @param {string} householdId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ items: Quote[], most: number }>>}
 */
export function listQuotes(householdId, reading) {
  return get(`/households/${householdId}/upgrade_quotes`, reading);
}

/**
 * @param {string} householdId
 * @param {QuoteEntry} body
 * @param {string} key
 * @returns {Promise<Answer<Quote>>}
 */
export function addQuote(householdId, body, key) {
  return call("POST", `/households/${householdId}/upgrade_quotes`, { body, key });
}

/**
 * @param {string} householdId
 * @param {string} quoteId
 * @returns {Promise<Answer<Quote>>}
 */
export function getQuote(householdId, quoteId) {
  return get(`/households/${householdId}/upgrade_quotes/${quoteId}`);
}

/**
 * @param {string} householdId
 * @param {string} quoteId
 * @param {string | null} etag
 * @returns {Promise<Answer<null>>}
 */
export function deleteQuote(householdId, quoteId, etag) {
  return call("DELETE", `/households/${householdId}/upgrade_quotes/${quoteId}`, { etag });
}

/**
 * @param {string} budgetPounds whole pounds
 * @param {Reading} [reading]
 * @returns {Promise<Answer<SchemeUpgrades>>}
 */
export function getSchemeUpgrades(budgetPounds, reading) {
  return get("/upgrades", { query: { budget_pounds: budgetPounds }, ...reading });
}

/**
 * Where the same list is had as a file.
 * @param {string} budgetPounds
 * @param {"csv" | "xlsx"} format
 * @returns {string}
 */
export function upgradesExportAddress(budgetPounds, format) {
  return addressOf("/upgrades/export", { budget_pounds: budgetPounds, format });
}
