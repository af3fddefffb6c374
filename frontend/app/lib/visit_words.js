/** What an administrator reads about visits, put together from what the service sends. */
import { counted } from "./quantity.js";
import { formatShortDate } from "./record_dates.js";

/** @typedef {import("../api/visit_types.d.ts").VisitRow} VisitRow */

/**
 * When a visit is: its day, and the times where they are agreed.
 * @param {Pick<VisitRow, "agreed_on" | "agreed_from" | "agreed_until">} visit
 * @returns {string}
 */
export function whenWords({ agreed_on: on, agreed_from: from, agreed_until: until }) {
  if (!on) return "no date yet";
  const times = [from, until].map((time) => time?.slice(0, 5));
  if (times[0] && times[1]) return `${formatShortDate(on)}, ${times[0]} to ${times[1]}`;
  if (times[0]) return `${formatShortDate(on)}, from ${times[0]}`;
  return times[1] ? `${formatShortDate(on)}, until ${times[1]}` : formatShortDate(on);
}

/**
 * What one link would hold: homes, outlets and days.
 * @param {VisitRow[]} visits
 * @returns {string}
 */
export function selectionWords(visits) {
  const homes = new Set(visits.map(({ household_id: id }) => id)).size;
  const outlets = visits.reduce((sum, visit) => sum + visit.outlets.length, 0);
  const days = [...new Set(visits.map(({ agreed_on: on }) => on).filter((on) => on !== null))].sort();
  const when = days.length === 0 ? "" : days.length === 1 ? ` on ${formatShortDate(days[0])}` : ` on ${days.length} days, ${formatShortDate(days[0])} to ${formatShortDate(days.at(-1))}`;
  return `${counted(homes, "home")} with ${counted(outlets, "outlet")}${when}`;
}

/** The steps that a person can take with a visit, by where it stands. @type {Record<string, { state: string, label: string, isFinal?: boolean }[]>} */
export const NEXT_STEPS = {
  asked: [{ state: "cancelled", label: "Cancel the visit", isFinal: true }],
  date_agreed: [
    { state: "no_access", label: "No access" },
    { state: "done", label: "Visited" },
    { state: "asked", label: "The date fell through: ask again" },
    { state: "cancelled", label: "Cancel the visit", isFinal: true },
  ],
  no_access: [
    { state: "asked", label: "Ask again" },
    { state: "done", label: "Visited after all" },
    { state: "cancelled", label: "Cancel the visit", isFinal: true },
  ],
  done: [{ state: "asked", label: "No result came: ask again" }],
  recorded: [{ state: "asked", label: "Ask for another visit" }],
  accepted: [],
  cancelled: [],
};

/** May a link be sent for a visit? The home opens on its day, so a day must be agreed. @param {Pick<VisitRow, "state" | "agreed_on">} visit */
export function isLinkable({ state, agreed_on: on }) {
  return state === "date_agreed" && on !== null;
}
