/** The filters of the scheme's claims, as they stand in the address. */
import { isMonth } from "./claim_words.js";

/**
 * @typedef {object} ClaimQuery
 * @property {string} month YYYY-MM, "" for every month
 * @property {string} state one of SHOWN_STATES, "" for every state
 */

export const SHOWN_STATES = ["sent", "queried", "approved", "refused", "stated"];

/**
 * @param {URLSearchParams} params
 * @returns {ClaimQuery}
 */
export function readClaimQuery(params) {
  const month = params.get("month") ?? "";
  const state = params.get("state") ?? "";
  return {
    month: isMonth(month) ? month : "",
    state: SHOWN_STATES.includes(state) ? state : "",
  };
}

/**
 * @param {ClaimQuery} query
 * @returns {string} "" or "?…"
 */
export function writeClaimQuery({ month, state }) {
  const params = new URLSearchParams();
  if (month) params.set("month", month);
  if (state) params.set("state", state);
  const text = params.toString();
  return text && `?${text}`;
}
