/** What a comparison comes to in a year, and what small changes are worth, in words. */
import { aboutPounds, wholePounds } from "./money.js";
import { formatAmps, formatEnergy, formatPercent } from "./quantity.js";

/** @typedef {import("../api/what_if_types.d.ts").WorthItem} WorthItem */

/**
 * What lies between two sides in a year: "about £120 less, 40 kWh less short".
 * @param {{ saved_pence: string | null, closed_kwh: number }} yearly
 * @returns {string}
 */
export function yearWords({ saved_pence: saved, closed_kwh: closed }) {
  const short = closed === 0 ? "" : `${formatEnergy(Math.abs(closed))} ${closed > 0 ? "less" : "more"} short`;
  const pounds = wholePounds(saved);
  if (pounds === null) return ["cost not known", short].filter(Boolean).join(", ");
  if (pounds === 0) return short ? `about the same cost, ${short}` : "about the same";
  return [`${aboutPounds(Math.abs(pounds))} ${pounds > 0 ? "less" : "more"}`, short].filter(Boolean).join(", ");
}

/**
 * The change that something would be worth.
 * @param {WorthItem} item
 * @returns {string}
 */
export function worthWords({ kind, label, before, after }) {
  if (kind === "hour_more") return `Home an hour earlier from each journey: ${label}`;
  if (kind === "more_current") return `A charging point at ${formatAmps(after)} instead of ${formatAmps(before)}: ${label}`;
  if (kind === "bigger_fuse") return `A fuse of ${formatAmps(after)} instead of ${formatAmps(before)}`;
  return `Charging to ${formatPercent(after)} instead of ${formatPercent(before)}: ${label}`;
}
