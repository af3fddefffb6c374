/** The words of claims and statements: states, kinds of line, months, amounts. */
import { formatPounds } from "./money.js";
import { formatDate } from "./time.js";

/** @typedef {import("../api/claim_types.d.ts").ClaimState} ClaimState */

/** @type {Record<ClaimState, string>} */
export const STATE_WORDS = {
  draft: "Not sent yet", sent: "Sent", queried: "Queried", approved: "Approved", refused: "Refused", stated: "On a statement",
};

/** What a state means for who claims. @type {Record<ClaimState, string>} */
export const STATE_NEXT = {
  draft: "Nobody else sees it until you send it.",
  sent: "Your employer looks at it next. You can take it back until it is approved.",
  queried: "Your employer asked something. Answer it below, or take the claim back and change its trips.",
  approved: "It goes on the next statement for payroll.",
  refused: "Its trips are open again: put them right and send them with a new claim.",
  stated: "It stands on a statement for payroll and cannot change any more. A mistake is put right by a correction.",
};

/** @type {Record<import("../api/claim_types.d.ts").LineKind, string>} */
export const LINE_WORDS = {
  mileage_allowance: "Own car, per mile",
  advisory_rate: "Company car, advisory rate",
  actual_cost: "Company car, what the electricity cost",
  adjustment: "Adjustment",
  cap: "The scheme's monthly limit",
  reversal: "Takes back an earlier claim",
};

/** @type {Record<import("../api/claim_types.d.ts").HeldAs, string>} */
export const HELD_WORDS = { own_car: "My own car", company_car: "A company car" };

/** @type {Record<import("../api/claim_types.d.ts").CompanyMethod, string>} */
export const METHOD_WORDS = { advisory_rate: "The advisory rate per mile", actual_cost: "What the electricity cost" };

/** @type {Record<import("../api/claim_types.d.ts").ClaimMessage["kind"], string>} */
export const MESSAGE_WORDS = { query: "Question", answer: "Answer", refusal: "Refused", reason: "Why it is corrected" };

/** How sure a figure is. @type {Record<string, string>} */
export const STANDING_WORDS = {
  published: "as published", two_sources: "by two sources", from_memory: "from memory, to be confirmed",
  assumed: "assumed: common practice, no source", operator: "entered by the operator",
};

const MONTH = new Intl.DateTimeFormat("en-GB", { month: "long", year: "numeric", timeZone: "UTC" });
const MILES = new Intl.NumberFormat("en-GB", { maximumFractionDigits: 1 });

/**
 * A month for reading: "2026-11" -> "November 2026".
 * @param {string} month YYYY-MM
 * @returns {string}
 */
export function monthWords(month) {
  return MONTH.format(new Date(`${month}-01T00:00Z`));
}

/**
 * The month some months away: ("2026-01", -1) -> "2025-12".
 * @param {string} month
 * @param {number} by
 * @returns {string}
 */
export function monthAway(month, by) {
  const [year, number] = month.split("-").map(Number);
  return new Date(Date.UTC(year, number - 1 + by, 1)).toISOString().slice(0, 7);
}

/**
 * Is this a month as addresses write it?
 * @param {string} text
 * @returns {boolean}
 */
export function isMonth(text) {
  return /^20\d\d-(0[1-9]|1[0-2])$/.test(text);
}

/**
 * The last months, the newest first, as choices.
 * @param {string} today YYYY-MM-DD
 * @param {number} count
 * @returns {{ value: string, label: string }[]}
 */
export function lastMonths(today, count) {
  return Array.from({ length: count }, (_, ago) => monthAway(today.slice(0, 7), -ago)).map((value) => ({ value, label: monthWords(value) }));
}

/**
 * An amount of whole pence in pounds.
 * @param {number | null | undefined} pence
 * @returns {string}
 */
export function pounds(pence) {
  return formatPounds(pence === null || pence === undefined ? null : String(pence));
}

/**
 * Typed pounds as whole pence, exactly: "250.5" -> 25050; null where nothing is typed, the text itself where it is no amount.
 * @param {string} text
 * @returns {number | string | null}
 */
export function penceOf(text) {
  const [whole, part = ""] = text.trim().split(".");
  if (whole === "" && part === "") return null;
  return /^\d{1,7}$/.test(whole) && /^\d{0,2}$/.test(part) ? Number(whole) * 100 + Number(part.padEnd(2, "0")) : text.trim();
}

/**
 * Miles with their tenth: "46.5" -> "46.5 miles".
 * @param {string} miles
 * @returns {string}
 */
export function claimMiles(miles) {
  const text = MILES.format(Number(miles));
  return text === "1" ? "1 mile" : `${text} miles`;
}

/**
 * The first day of the tax year a day lies in: it begins on 6 April.
 * @param {string} on YYYY-MM-DD
 * @returns {string}
 */
export function taxYearFrom(on) {
  const year = Number(on.slice(0, 4));
  return on.slice(5) >= "04-06" ? `${year}-04-06` : `${year - 1}-04-06`;
}

/**
 * The tax year of a first day: "2026-04-06" -> "6 April 2026 to 5 April 2027".
 * @param {string} fromOn
 * @returns {string}
 */
export function taxYearWords(fromOn) {
  return `${formatDate(fromOn)} to ${formatDate(`${Number(fromOn.slice(0, 4)) + 1}-04-05`)}`;
}

/**
 * Which claim of a month it is: "November 2026", "November 2026, claim 2", "November 2026, correction".
 * @param {{ month: string, ordinal: number, corrects_id: string | null }} claim
 * @returns {string}
 */
export function claimName({ month, ordinal, corrects_id: corrects }) {
  if (corrects) return `${monthWords(month)}, correction`;
  return ordinal > 1 ? `${monthWords(month)}, claim ${ordinal}` : monthWords(month);
}

/**
 * What stands out about a claim.
 * @param {import("../api/claim_types.d.ts").ClaimRow} claim
 * @returns {string[]}
 */
export function claimFlags({ corrects_id: corrects, is_corrected: isCorrected, ordinal, total_pence: pence }) {
  const flags = [];
  if (corrects) flags.push("Corrects an earlier claim");
  if (isCorrected) flags.push("Corrected by a later claim");
  if (!corrects && ordinal > 1) flags.push(`Claim ${ordinal} of its month`);
  if (pence < 0) flags.push("To be paid back");
  return flags;
}

/**
 * A part of a line as a sum: "46.5 miles at 45p = 2,092.5p".
 * @param {import("../api/claim_types.d.ts").ClaimPart} part
 * @returns {string}
 */
export function partWords({ miles, rate_pence: rate, pence_exact: pence }) {
  return `${claimMiles(miles)} at ${Number(rate)}p a mile = ${Number(pence).toLocaleString("en-GB", { maximumFractionDigits: 6 })}p`;
}
