/** The verdict on a lead in words and numbers, and what is asked of it. */
import { counted } from "./quantity.js";

/**
 * What a member asks besides: when the car is plugged in ("HH:MM", "": when it is back), a long journey's miles.
 * @typedef {object} LeadAsked
 * @property {string} [plugInAt]
 * @property {string} [longMiles]
 */

/** When a car may be plugged in; the first is what is taken where nobody says otherwise. */
export const PLUG_IN_TIMES = [
  { value: "", label: "When it is back" },
  { value: "20:00", label: "At 20:00" },
  { value: "22:00", label: "At 22:00" },
  { value: "00:30", label: "At 00:30" },
];

/**
 * The query of what is asked, empty where nothing is.
 * @param {LeadAsked} asked
 * @returns {string}
 */
export function addressQuery({ plugInAt = "", longMiles = "" }) {
  const query = new URLSearchParams();
  if (plugInAt) query.set("plug_in_at", plugInAt);
  if (longMiles.trim()) query.set("long_miles", longMiles.trim());
  return query.size > 0 ? `?${query}` : "";
}

/**
 * A share: 0 -> "none", 0.4 -> "0.4%", 23.8 -> "24%".
 * @param {number} percent
 * @returns {string}
 */
export function shareWords(percent) {
  if (percent === 0) return "none";
  return `${percent < 10 ? percent : Math.round(percent)}%`;
}

/**
 * What one remedy leaves: of nights, of weeks.
 * @param {import("../api/lead_types.d.ts").LeadCloser} closer
 * @param {number} now the share of nights that fall short now
 * @returns {string}
 */
export function closerWords({ kind, night_percent: nights, week_percent: weeks }, now) {
  if (kind === "public_charge") return "Covers each day that falls short.";
  if (nights === 0) return "No night falls short any more.";
  if (nights >= now) return "Makes no difference.";
  return `Then ${shareWords(nights)} of nights and ${shareWords(weeks)} of weeks fall short.`;
}

/**
 * How long, in hours and minutes: 255 -> "4 h 15 min".
 * @param {number} minutes
 * @returns {string}
 */
export function hoursWords(minutes) {
  const hours = Math.floor(minutes / 60);
  const rest = minutes % 60;
  if (hours === 0) return `${rest} min`;
  return rest === 0 ? `${hours} h` : `${hours} h ${rest} min`;
}

/**
 * How far what the lead carries is from what is driven.
 * @param {import("../api/lead_types.d.ts").LeadAnswer} answer
 * @returns {string}
 */
export function marginWords({ driven_miles: driven, margin_miles: margin }) {
  const more = Number(margin);
  const apart = Math.abs(more).toFixed(1);
  const compared = more >= 0 ? `${apart} more than you drive` : `${apart} fewer than you drive`;
  return `on average ${compared} (${driven} a day in your diary); single days can still be too long`;
}

/**
 * What a long journey leaves for the nights after it.
 * @param {number | null} nights
 * @returns {string}
 */
export function recoveryWords(nights) {
  if (nights === null) return "The nights alone do not bring the usual charge back.";
  return nights === 0 ? "The next evening stands as usual." : `The usual charge is back after ${counted(nights, "night")}.`;
}
