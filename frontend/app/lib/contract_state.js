/** Is a tariff contract in force, has it ended, or does it end within the plan? */
import { formatDate, localDay } from "./time.js";

/** @typedef {import("../api/types.d.ts").Contract} Contract */
/** @typedef {import("../api/types.d.ts").Plan} Plan */

/**
 * The last contract to have ended, where none is in force on a day; else null.
 * @param {Contract[]} contracts
 * @param {string} today YYYY-MM-DD
 * @returns {Contract | null}
 */
export function endedContract(contracts, today) {
  const isInForce = contracts.some(({ starts_on: from, ends_on: until }) => from <= today && (until === null || until > today));
  if (isInForce) return null;
  const ended = contracts.filter(({ ends_on: until }) => until !== null && until <= today);
  return ended.sort((left, right) => String(right.ends_on).localeCompare(String(left.ends_on)))[0] ?? null;
}

/**
 * What to do about prices that are missing because a contract has ended or ends within the plan; "" for other reasons.
 * @param {Contract[]} contracts
 * @param {Plan} plan
 * @param {string} today YYYY-MM-DD
 * @returns {string}
 */
export function contractStep(contracts, plan, today) {
  if (plan.missing_prices.length === 0) return "";
  if (endedContract(contracts, today)) return "Ask your scheme to enter the tariff that holds now.";
  const lastDay = localDay(plan.ends_at, plan.zone);
  const isEnding = contracts.some(({ ends_on: until }) => until !== null && until > today && until < lastDay
    && !contracts.some(({ starts_on: from, ends_on: end }) => from <= until && (end === null || end > until)));
  return isEnding ? "Ask your scheme to enter the tariff that holds after that." : "";
}

/**
 * The tariff of a plan in words, never an ended one as if it were in force.
 * @param {Contract[]} contracts
 * @param {Plan} plan
 * @param {string} today YYYY-MM-DD
 * @returns {string}
 */
export function tariffWords(contracts, plan, today) {
  const ended = endedContract(contracts, today);
  if (ended) return `No tariff is known for now: the contract for ${ended.tariff_name} ended on ${formatDate(ended.ends_on)}.`;
  return plan.tariff_name ? `Tariff: ${plan.tariff_name}.` : "The tariff is not known.";
}
