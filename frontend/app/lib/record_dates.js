/** Dates of records, with their year, and written dates put in words. */
import { formatDate, formatDay, formatTime, localDay, ms } from "./time.js";

const SHORT = new Intl.DateTimeFormat("en-GB", { day: "numeric", month: "short", year: "numeric", timeZone: "UTC" });
const WRITTEN_DAY = /(?<![\w-])\d{4}-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12]\d|3[01])(?![\w-])/g;

/**
 * An instant far away, with its year: "25 November 2029", and its time unless that is midnight.
 * @param {string | null | undefined} at
 * @param {string} zone
 * @returns {string}
 */
export function formatFarInstant(at, zone) {
  if (!at) return "not known";
  const time = formatTime(at, zone);
  return formatDate(localDay(at, zone)) + (time === "00:00" ? "" : `, ${time}`);
}

/**
 * An instant of a record: "Wed 25 Nov, 22:30", with the year where it is not this one: "Tue 25 Nov 2025, 22:30".
 * @param {string} at
 * @param {string} zone
 * @param {number} nowMs
 * @returns {string}
 */
export function formatRecordInstant(at, zone, nowMs) {
  const day = localDay(at, zone);
  const year = day.slice(0, 4);
  return `${formatDay(day)}${year === localDay(nowMs, zone).slice(0, 4) ? "" : ` ${year}`}, ${formatTime(at, zone)}`;
}

/**
 * A text with its days in words: "due again on 2026-11-20" -> "due again on 20 November 2026".
 * @param {string} text
 * @returns {string}
 */
export function datesInWords(text) {
  return text.replace(WRITTEN_DAY, (day) => formatDate(day));
}

/**
 * A date for a dense table: "13 Nov 2026".
 * @param {string | null | undefined} on YYYY-MM-DD
 * @returns {string}
 */
export function formatShortDate(on) {
  if (!on) return "not known";
  return SHORT.format(ms(`${on.slice(0, 10)}T00:00Z`));
}
