/** How prices are drawn: runs of one price, their steps, and the numbers beside them. Pure. */
import { formatShortPrice } from "../lib/money.js";

/** @typedef {import("../api/types.d.ts").PlanWeek} PlanWeek */
/** @typedef {{ x: number, y: number, text: string, anchor: "start" | "middle" | "end" }} Label */
/** @typedef {{ first: number, end: number, price: number, isKnown: boolean }} PriceRun places in the week's half-hours */

export const TEXT_PX = 12;
const CHAR_PX = 7;
const FEW_RUNS = 7;

/**
 * The width a text needs [px]; an estimate on the wide side.
 * @param {string} text
 * @returns {number}
 */
export function textWidth(text) {
  return text.length * CHAR_PX + 4;
}

/**
 * Neighbouring half-hours of one price, as runs.
 * @param {PlanWeek} week
 * @param {number} first
 * @param {number} count
 * @returns {PriceRun[]}
 */
export function priceRuns(week, first, count) {
  /** @type {PriceRun[]} */
  const runs = [];
  for (let place = first; place < first + count; place += 1) {
    const price = Number(week.price_pence_per_kwh[place]);
    const isKnown = week.is_price_known[place];
    const last = runs.at(-1);
    if (last && last.isKnown === isKnown && (!isKnown || last.price === price)) last.end = place + 1;
    else runs.push({ first: place, end: place + 1, price, isKnown });
  }
  return runs;
}

/**
 * The lowest and highest known price, nought always between them.
 * @param {PlanWeek} week
 * @returns {{ low: number, high: number }}
 */
export function priceRange(week) {
  const known = week.price_pence_per_kwh.map(Number).filter((_, place) => week.is_price_known[place]);
  return { low: Math.min(0, ...known), high: Math.max(1, ...known) };
}

/**
 * The labels of a strip: every run wide enough when there are few, else the day's lowest and highest.
 * @param {PriceRun[]} runs
 * @param {(place: number) => number} xOf
 * @param {(price: number) => number} yOf
 * @param {{ left: number, right: number }} bounds
 * @returns {Label[]}
 */
export function priceLabels(runs, xOf, yOf, bounds) {
  const known = runs.filter((run) => run.isKnown);
  if (known.length === 0) return [];
  const prices = known.map((run) => run.price);
  const ends = [Math.min(...prices), Math.max(...prices)].map((price) => known.find((run) => run.price === price));
  const wanted = known.length <= FEW_RUNS ? known.filter((run) => xOf(run.end) - xOf(run.first) >= textWidth(formatShortPrice(run.price))) : ends;
  /** @type {Label[]} */
  const labels = [];
  for (const run of wanted) {
    if (!run) continue;
    const text = formatShortPrice(run.price);
    const half = textWidth(text) / 2;
    const middle = (xOf(run.first) + xOf(run.end)) / 2;
    const x = Math.min(Math.max(middle, bounds.left + half), bounds.right - half);
    const y = run.price < 0 ? yOf(run.price) + TEXT_PX : yOf(run.price) - 4;
    const isFree = labels.every((other) => Math.abs(other.x - x) > 2 * half || Math.abs(other.y - y) > TEXT_PX + 1);
    if (isFree) labels.push({ x, y, text, anchor: "middle" });
  }
  return labels;
}

/**
 * The steps and the area under them as paths; a gap where no price is known.
 * @param {PriceRun[]} runs
 * @param {(place: number) => number} xOf
 * @param {(price: number) => number} yOf
 * @returns {{ area: string, line: string }}
 */
export function pricePaths(runs, xOf, yOf) {
  const at = (/** @type {number} */ value) => value.toFixed(1);
  const zero = at(yOf(0));
  let [area, line] = ["", ""];
  let isOpen = false;
  for (const run of runs) {
    if (run.isKnown) {
      const [left, right, y] = [at(xOf(run.first)), at(xOf(run.end)), at(yOf(run.price))];
      area += `M${left} ${zero}V${y}H${right}V${zero}Z`;
      line += isOpen ? `V${y}H${right}` : `M${left} ${y}H${right}`;
    }
    isOpen = run.isKnown;
  }
  return { area, line };
}
