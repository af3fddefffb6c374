/** Claims for business miles: a member's own, and the scheme's, with its statements and rules. */
import { addressOf, call, get } from "./client.js";

/** @typedef {import("./claim_types.d.ts").Claim} Claim */
/** @typedef {import("./claim_types.d.ts").Reckoning} Reckoning */
/** @typedef {import("./claim_types.d.ts").HomeShare} HomeShare */
/** @typedef {import("./claim_types.d.ts").SchemeClaims} SchemeClaims */
/** @typedef {import("./claim_types.d.ts").Statement} Statement */
/** @typedef {import("./claim_types.d.ts").StatementRow} StatementRow */
/** @typedef {import("./claim_types.d.ts").ReimbursementRule} ReimbursementRule */
/** @typedef {import("./claim_types.d.ts").RuleEntry} RuleEntry */
/** @typedef {{ signal?: AbortSignal }} Reading */
/** @typedef {Record<string, string | number>} Query */
/**
 * @template T
 * @typedef {import("./types.d.ts").Answer<T>} Answer
 */

/**
 * What the month's open trips would come to; nothing is stored.
 * @param {string} householdId
 * @param {string} month YYYY-MM
 * @param {HomeShare[]} shares
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Reckoning>>}
 */
export function previewClaim(householdId, month, shares, reading) {
  const stated = shares.map(({ vehicle_id: id, home_percent: percent }) => `&home_share=${encodeURIComponent(`${id}:${percent}`)}`);
  return get(`/households/${householdId}/claim_preview?month=${month}${stated.join("")}`, reading);
}

/**
 * @param {string} householdId
 * @param {Query} query
 * @param {Reading} [reading]
 * @returns {Promise<Answer<import("./claim_types.d.ts").OwnClaims>>}
 */
export function listOwnClaims(householdId, query, reading) {
  return get(`/households/${householdId}/claims`, { query, ...reading });
}

/**
 * Make a draft of all open trips of a month.
 * @param {string} householdId
 * @param {string} month
 * @param {HomeShare[]} shares
 * @param {string} key
 * @returns {Promise<Answer<Claim>>}
 */
export function makeClaim(householdId, month, shares, key) {
  return call("POST", `/households/${householdId}/claims`, { body: { month, home_shares: shares }, key });
}

/**
 * @param {string} householdId
 * @param {string} claimId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Claim>>}
 */
export function getOwnClaim(householdId, claimId, reading) {
  return get(`/households/${householdId}/claims/${claimId}`, reading);
}

/**
 * @param {string} householdId
 * @param {string} claimId
 * @param {HomeShare[]} shares
 * @param {string | null} etag
 * @returns {Promise<Answer<Claim>>}
 */
export function changeHomeShares(householdId, claimId, shares, etag) {
  return call("PATCH", `/households/${householdId}/claims/${claimId}`, { body: { home_shares: shares }, etag });
}

/**
 * @param {string} householdId
 * @param {string} claimId
 * @param {string | null} etag
 * @returns {Promise<Answer<null>>}
 */
export function deleteClaim(householdId, claimId, etag) {
  return call("DELETE", `/households/${householdId}/claims/${claimId}`, { etag });
}

/**
 * Do something with one's own claim.
 * @param {string} householdId
 * @param {string} claimId
 * @param {"sending" | "withdrawal" | "answer" | "correction"} act
 * @param {object} body
 * @param {string} key
 * @returns {Promise<Answer<Claim>>}
 */
export function actOnOwnClaim(householdId, claimId, act, body, key) {
  return call("POST", `/households/${householdId}/claims/${claimId}/${act}`, { body, key });
}

/**
 * Where one's own copy is had on paper.
 * @param {string} householdId
 * @param {string} claimId
 * @returns {string}
 */
export function copyAddress(householdId, claimId) {
  return addressOf(`/households/${householdId}/claims/${claimId}/copy.pdf`);
}

/** The most claims read at once, and approved with one question. */
export const MOST_CLAIMS = 1000;
const ON_A_PAGE = 200;

/**
 * The claims of a month and state in one list, up to MOST_CLAIMS; the sums are those of all of them.
 * @param {{ month: string, state: string }} filters "" for every one
 * @param {Reading} [reading]
 * @returns {Promise<Answer<SchemeClaims>>}
 */
export async function listClaims(filters, reading) {
  /** @param {number} page @returns {Promise<Answer<SchemeClaims>>} */
  const read = (page) => get("/claims", { query: { ...filters, page, page_size: ON_A_PAGE }, ...reading });
  const first = await read(1);
  const pages = Math.ceil(Math.min(first.data.total, MOST_CLAIMS) / ON_A_PAGE);
  const others = await Promise.all(Array.from({ length: Math.max(0, pages - 1) }, (_, place) => read(place + 2)));
  const items = [first, ...others].flatMap(({ data }) => data.items);
  // Between two reads a claim may have moved over to the other page.
  return { ...first, data: { ...first.data, items: [...new Map(items.map((row) => [row.id, row])).values()] } };
}

/**
 * How many claims have a state, and what they come to.
 * @param {string} state
 * @param {Reading} [reading]
 * @returns {Promise<Answer<SchemeClaims>>}
 */
export function countClaims(state, reading) {
  return get("/claims", { query: { state, page_size: 1 }, ...reading });
}

/**
 * @param {string} claimId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Claim>>}
 */
export function getClaim(claimId, reading) {
  return get(`/claims/${claimId}`, reading);
}

/**
 * @param {string} claimId
 * @param {"query" | "approval" | "refusal"} act
 * @param {object} body
 * @param {{ key: string, etag: string | null }} sending
 * @returns {Promise<Answer<Claim>>}
 */
export function decideClaim(claimId, act, body, sending) {
  return call("POST", `/claims/${claimId}/${act}`, { body, ...sending });
}

/**
 * Approve several claims at once, as they were when read; those that cannot be are named with the reason.
 * @param {{ claim_id: string, version: number }[]} claims
 * @param {string} key
 * @returns {Promise<Answer<import("./claim_types.d.ts").Approvals>>}
 */
export function approveClaims(claims, key) {
  return call("POST", "/claims/approvals", { body: { claims }, key });
}

/**
 * @param {Query} query
 * @param {Reading} [reading]
 * @returns {Promise<Answer<import("./types.d.ts").Paged<StatementRow>>>}
 */
export function listStatements(query, reading) {
  return get("/statements", { query, ...reading });
}

/**
 * Put every approved claim of a month, and of earlier ones not stated yet, on a statement.
 * @param {string} month
 * @param {string} key
 * @returns {Promise<Answer<StatementRow>>}
 */
export function makeStatement(month, key) {
  return call("POST", "/statements", { body: { month }, key });
}

/**
 * @param {string} statementId
 * @param {Reading} [reading]
 * @returns {Promise<Answer<Statement>>}
 */
export function getStatement(statementId, reading) {
  return get(`/statements/${statementId}`, reading);
}

/**
 * Where a statement is had as a file.
 * @param {string} statementId
 * @param {"csv" | "xlsx" | "json"} format
 * @returns {string}
 */
export function statementFile(statementId, format) {
  return addressOf(`/statements/${statementId}/export`, { format });
}

/**
 * The rules the scheme pays by, the newest first.
 * @param {Reading} [reading]
 * @returns {Promise<Answer<{ items: ReimbursementRule[] }>>}
 */
export function listRules(reading) {
  return get("/reimbursement_rules", reading);
}

/**
 * @param {RuleEntry} entry
 * @param {string} key
 * @returns {Promise<Answer<ReimbursementRule>>}
 */
export function appendRule(entry, key) {
  return call("POST", "/reimbursement_rules", { body: entry, key });
}
