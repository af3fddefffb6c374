/** A car's diary: which days are offered, what lines of text say, and what the plan makes of it. */
import { counted } from "./quantity.js";
import { addDays } from "./time.js";

/** @typedef {import("../api/habit_types.d.ts").DiaryDay} DiaryDay */
/** @typedef {import("../api/habit_types.d.ts").DiaryEntry} DiaryEntry */

export const SHOWN_DAYS = 14;
/** With fewer days the service goes by the routine alone. */
export const FEWEST_DAYS = 7;

const ISO = /^(\d{4})-(\d{2})-(\d{2})$/;
const BRITISH = /^(\d{1,2})[/.](\d{1,2})[/.](\d{4})$/;
const MILES = /^\d{1,4}(\.\d)?$/;

/**
 * The last days, today first, each with what is kept of it.
 * @param {DiaryDay[]} kept
 * @param {string} today YYYY-MM-DD
 * @returns {{ on: string, day: DiaryDay | null }[]}
 */
export function lastDays(kept, today) {
  return Array.from({ length: SHOWN_DAYS }, (_, ago) => {
    const on = addDays(today, -ago);
    return { on, day: kept.find((day) => day.on === on) ?? null };
  });
}

/**
 * What the diary does by now.
 * @param {number} count days kept
 * @param {string} days how many the plan is to cover, such as "9 days in 10"
 * @returns {string}
 */
export function diaryWords(count, days) {
  const covers = `the plan has enough charge on ${days} as far as your diary goes`;
  if (count >= FEWEST_DAYS) return `${counted(count, "day")} kept: ${covers}.`;
  const more = FEWEST_DAYS - count;
  return `${counted(count, "day")} kept. After ${more} more, ${covers}; until then it goes by the week's routine alone.`;
}

/**
 * A date as people write it, as YYYY-MM-DD; null where it is none.
 * @param {string} text
 * @returns {string | null}
 */
function dayOf(text) {
  const iso = ISO.exec(text), british = BRITISH.exec(text);
  const [year, month, day] = iso ? iso.slice(1) : british ? [british[3], british[2], british[1]] : [];
  if (!year) return null;
  const on = `${year}-${month.padStart(2, "0")}-${day.padStart(2, "0")}`;
  const at = new Date(`${on}T00:00Z`);
  return !Number.isNaN(at.getTime()) && at.toISOString().startsWith(on) ? on : null;
}

/**
 * Lines "date, miles" as days; a first line without figures is taken for a heading.
 * @param {string} text
 * @param {string} today
 * @returns {{ days: DiaryEntry[], faults: string[] }}
 */
export function readLines(text, today) {
  /** @type {DiaryEntry[]} */
  const days = [];
  /** @type {string[]} */
  const faults = [];
  text.split(/\r?\n/).forEach((line, place) => {
    const cells = line.split(/[,;\t]/).map((cell) => cell.trim());
    if (cells.every((cell) => cell === "") || (place === 0 && !/\d/.test(line))) return;
    const on = dayOf(cells[0]);
    const name = `Line ${place + 1}`;
    if (cells.length !== 2) faults.push(`${name}: needs a date and miles, with a comma between.`);
    else if (on === null) faults.push(`${name}: "${cells[0]}" is no date. Write it such as ${today}.`);
    else if (on > today) faults.push(`${name}: that day is still to come.`);
    else if (!MILES.test(cells[1])) faults.push(`${name}: "${cells[1]}" is no number of miles.`);
    else if (days.some((day) => day.on === on)) faults.push(`${name}: that day is there twice.`);
    else days.push({ on, miles: cells[1] });
  });
  return { days, faults };
}
