/** Why a charging time is where it is, and what other ways would cost, in a member's words. */
import { formatPounds, formatUnitPrice } from "./money.js";
import { formatInstant } from "./time.js";

/** @typedef {import("../api/types.d.ts").PlanBlockWhy} PlanBlockWhy */

/** @type {Record<import("../api/types.d.ts").PlanBlockWhy["binding"], string>} */
const BINDING_WORDS = {
  need: "just what that takes, and the reserve",
  battery: "as much as the ceiling or the battery lets in",
  price: "the price is below nothing, so it pays",
  hours: "every half-hour before it is used",
};

/** @type {Record<import("../api/types.d.ts").PlanOtherWay["way"], string>} */
export const WAY_WORDS = {
  on_arrival: "At once on arrival",
  cheapest_five_hours: "Only in the five cheapest hours of each night",
  no_charging: "Not charging at home",
};

/**
 * @param {PlanBlockWhy} why
 * @param {string} zone
 * @returns {string}
 */
export function whyWords(why, zone) {
  const { binding, serves_leaves_at: serves } = why;
  const purpose = serves ? `For ${formatInstant(serves, zone)}` : "For no journey in view";
  return `${purpose}: ${BINDING_WORDS[binding]}.`;
}

/**
 * @param {PlanBlockWhy} why
 * @returns {string}
 */
export function priceWords(why) {
  const { lowest_price_pence: low, highest_price_pence: high } = why;
  if (low === null || high === null) return "not known";
  return low === high ? formatUnitPrice(low) : `${formatUnitPrice(low)} to ${formatUnitPrice(high)}`;
}

/**
 * @param {PlanBlockWhy} why
 * @returns {string}
 */
export function nextBestWords(why) {
  const extra = why.next_best_pence;
  if (extra === null) return "none left";
  return Number(extra) > 0 ? `${formatPounds(extra)} more` : "the same";
}
