/** How far off a due date is. */

const FAR_DAYS = 92;
const DAY_MS = 86_400_000;

/**
 * Nothing for a date far ahead: the date alone is read better.
 * @param {string} dueOn YYYY-MM-DD
 * @param {string} today YYYY-MM-DD
 * @returns {string}
 */
export function dueWords(dueOn, today) {
  const days = Math.round((Date.parse(dueOn) - Date.parse(today)) / DAY_MS);
  if (days > FAR_DAYS) return "";
  if (days === 0) return "today";
  const count = `${Math.abs(days)} ${Math.abs(days) === 1 ? "day" : "days"}`;
  return days > 0 ? `in ${count}` : `overdue by ${count}`;
}
