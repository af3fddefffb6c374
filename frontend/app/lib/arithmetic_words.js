/** Exact decimal texts of a home's arithmetic as people read them. */

/**
 * @param {string} text
 * @param {number} decimals
 * @returns {string}
 */
function rounded(text, decimals) {
  return String(Number(Number(text).toFixed(decimals)));
}

/**
 * "26.956521" -> "26.96 A".
 * @param {string} text
 * @returns {string}
 */
export function exactAmps(text) {
  return `${rounded(text, 2)} A`;
}

/**
 * @param {string} text
 * @returns {string}
 */
export function exactVolts(text) {
  return `${rounded(text, 2)} V`;
}

/**
 * What was recorded beyond a rule: field, value, rule.
 * @param {import("../api/survey_types.d.ts").Refusal} refusal
 * @returns {string}
 */
export function refusalWords({ field, value, rule }) {
  const words = field.split(".").map((part) => (/^\d+$/.test(part) ? `${Number(part) + 1}` : part.replaceAll("_", " "))).join(" ");
  return `${words}, ${value}: ${rule}`;
}
