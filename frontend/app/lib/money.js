/**
 * Money for reading. The service sends decimal strings of pence; amounts are shown in pounds, unit prices in pence.
 * A missing amount is "not known", never nought.
 */

const POUNDS = new Intl.NumberFormat("en-GB", { style: "currency", currency: "GBP" });
const WHOLE_POUNDS = new Intl.NumberFormat("en-GB", { style: "currency", currency: "GBP", maximumFractionDigits: 0 });
const UNIT = new Intl.NumberFormat("en-GB", { minimumFractionDigits: 0, maximumFractionDigits: 3 });
const SHORT_UNIT = new Intl.NumberFormat("en-GB", { maximumFractionDigits: 2 });

/**
 * An amount in pounds: "123.4" -> "£1.23".
 * @param {string | null | undefined} pence
 * @returns {string}
 */
export function formatPounds(pence) {
  if (pence === null || pence === undefined || pence === "") return "not known";
  const pounds = Number(pence) / 100;
  return POUNDS.format(Math.abs(pounds) < 0.005 ? 0 : pounds).replace("-", "−");
}

/**
 * An amount in whole pounds, for sums that are estimates: "10649.6" -> 106; null when it is not known.
 * @param {string | null} pence
 * @returns {number | null}
 */
export function wholePounds(pence) {
  return pence === null ? null : Math.round(Number(pence) / 100);
}

/**
 * Whole pounds said as an estimate: 106 -> "about £106".
 * @param {number | null} pounds
 * @returns {string}
 */
export function aboutPounds(pounds) {
  return pounds === null ? "not known" : `about ${WHOLE_POUNDS.format(pounds || 0).replace("-", "−")}`;
}

/**
 * How far one estimate lies from another, from the whole pounds shown: "about £3 more".
 * @param {number | null} after
 * @param {number | null} before
 * @returns {string}
 */
export function aboutChange(after, before) {
  if (after === null || before === null) return "not known";
  if (after === before) return "about the same";
  return `${aboutPounds(Math.abs(after - before))} ${after > before ? "more" : "less"}`;
}

/**
 * A unit price in full: "28.35" -> "28.35p".
 * @param {string} pence
 * @returns {string}
 */
export function formatUnitPrice(pence) {
  return `${UNIT.format(Number(pence))}p`.replace("-", "−");
}

/**
 * A unit price for a chart, to two decimals: 28.35 -> "28.35p".
 * @param {number} pence
 * @returns {string}
 */
export function formatShortPrice(pence) {
  return `${SHORT_UNIT.format(pence)}p`.replace("-", "−").replace(/^−0p$/, "0p");
}

/**
 * The first amount less the second, as pence; null when either is not known.
 * @param {string | null | undefined} from
 * @param {string | null | undefined} less
 * @returns {string | null}
 */
export function differencePence(from, less) {
  if (from === null || from === undefined || less === null || less === undefined) return null;
  return String(Number((Number(from) - Number(less)).toFixed(6)));
}
