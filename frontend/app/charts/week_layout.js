/**
 * Where everything of the week's chart goes, in pixels: one strip a day, prices as steps, charging as bars below.
 *
 * One unit is one pixel, so text keeps its size at any width. A strip is as long as its day (46, 48 or 50 half-hours);
 * a price is shown by its height over nought and by its number, in one hue. Pure: values in, numbers out.
 */
import { formatEnergy } from "../lib/quantity.js";
import { addDays, formatDay, formatTime, instantOf, ms } from "../lib/time.js";
import { TEXT_PX, priceLabels, pricePaths, priceRange, priceRuns, textWidth } from "./price_layout.js";

/** @typedef {import("../api/types.d.ts").PlanWeek} PlanWeek */

/** @typedef {import("./price_layout.js").Label} Label */
/** @typedef {{ x: number, width: number, text: string, title: string }} Bar */

/**
 * @typedef {object} Strip
 * @property {string} on the day
 * @property {string} name "Wed 25 Nov"
 * @property {string} remark "" or why the day is longer or shorter
 * @property {number} top
 * @property {number} zeroY
 * @property {number} left where its first half-hour begins
 * @property {number} right where its last one ends
 * @property {string} area the priced area's path
 * @property {string} line the steps' path
 * @property {{ x: number, width: number, hasText: boolean }[]} unknown where no price is known
 * @property {Label[]} prices
 * @property {{ x: number, text: string, anchor: "start" | "middle" | "end" }[]} ticks
 * @property {{ letter: string, y: number, bars: Bar[] }[]} lanes one a car
 * @property {number} axisY
 * @property {number} first place of its first half-hour in the week
 * @property {number} count
 */

/**
 * @typedef {object} WeekLayout
 * @property {number} width
 * @property {number} height
 * @property {number} plotLeft
 * @property {number} plotRight
 * @property {number} slotWidth
 * @property {boolean} isWide
 * @property {Strip[]} strips
 */

const WIDE_FROM_PX = 640;
const HALF_HOUR_MS = 1_800_000;
const PRICE_PX = 44;
const HEAD_PX = 16;
const LANE_PX = 20;
const AXIS_PX = 16;
const GAP_PX = 10;
const BAR_CHAR_PX = 7.8; // a bar's text is bold
const BAR_MARGIN_PX = 4;

/**
 * The letter of a car in the chart; none when there is only one.
 * @param {number} place
 * @param {number} count
 * @returns {string}
 */
export function laneLetter(place, count) {
  return count < 2 ? "" : String.fromCharCode(65 + place);
}

/**
 * A car's charging in a range of half-hours, as runs.
 * @param {number[]} energyKwh per half-hour
 * @param {number} first
 * @param {number} count
 * @returns {{ first: number, end: number, energyKwh: number }[]}
 */
export function chargingRuns(energyKwh, first, count) {
  /** @type {{ first: number, end: number, energyKwh: number }[]} */
  const runs = [];
  for (let place = first; place < first + count; place += 1) {
    if (!(energyKwh[place] > 0)) continue;
    const last = runs.at(-1);
    if (last && last.end === place) {
      last.end = place + 1;
      last.energyKwh += energyKwh[place];
    } else {
      runs.push({ first: place, end: place + 1, energyKwh: energyKwh[place] });
    }
  }
  return runs;
}

/**
 * The instant at which a half-hour of the week begins [ms].
 * @param {PlanWeek} week
 * @param {number} place
 * @returns {number}
 */
export function halfHourMs(week, place) {
  return ms(week.starts_at) + place * HALF_HOUR_MS;
}

/**
 * What a bar says, as much as fits.
 * @param {PlanWeek} week
 * @param {{ first: number, end: number, energyKwh: number }} run
 * @param {number} width
 * @returns {{ text: string, title: string }}
 */
function barWords(week, run, width) {
  const from = formatTime(halfHourMs(week, run.first), week.zone);
  const until = formatTime(halfHourMs(week, run.end), week.zone);
  const energy = formatEnergy(run.energyKwh);
  const title = `${from} to ${until}, ${energy}`;
  const text = [`${from}–${until} · ${energy}`, `${from}–${until}`, energy].find((words) => words.length * BAR_CHAR_PX + 2 * BAR_MARGIN_PX <= width) ?? "";
  return { text, title };
}

/**
 * @param {PlanWeek} week
 * @param {{ on: string, first: number, count: number }} day
 * @param {{ plotLeft: number, slotWidth: number, isWide: boolean, top: number, range: { low: number, high: number } }} frame
 * @returns {Strip}
 */
function stripOf(week, day, frame) {
  const startMs = instantOf(day.on, "00:00", week.zone);
  const endMs = instantOf(addDays(day.on, 1), "00:00", week.zone);
  const total = (endMs - startMs) / HALF_HOUR_MS;
  const skipped = (halfHourMs(week, day.first) - startMs) / HALF_HOUR_MS;
  const xOf = (/** @type {number} */ place) => frame.plotLeft + (place - day.first + skipped) * frame.slotWidth;
  const priceTop = frame.top + (frame.isWide ? 0 : HEAD_PX + 2) + TEXT_PX + 4;
  const pxPerPenny = PRICE_PX / (frame.range.high - frame.range.low);
  const yOf = (/** @type {number} */ price) => priceTop + (frame.range.high - price) * pxPerPenny;
  const runs = priceRuns(week, day.first, day.count);
  const bounds = { left: frame.plotLeft, right: frame.plotLeft + total * frame.slotWidth };
  const laneTop = priceTop + PRICE_PX + (frame.range.low < 0 ? TEXT_PX + 2 : 0) + 4;
  const lanes = week.vehicles.map((vehicle, lane) => ({
    letter: laneLetter(lane, week.vehicles.length),
    y: laneTop + lane * LANE_PX,
    bars: chargingRuns(vehicle.energy_kwh, day.first, day.count).map((run) => {
      const width = xOf(run.end) - xOf(run.first);
      return { x: xOf(run.first), width, ...barWords(week, run, width) };
    }),
  }));
  return {
    on: day.on,
    name: formatDay(day.on),
    remark: total === 48 ? "" : `${total / 2} hours: the clocks change`,
    top: frame.top,
    zeroY: yOf(0),
    left: xOf(day.first),
    right: xOf(day.first + day.count),
    ...pricePaths(runs, xOf, yOf),
    unknown: runs.filter((run) => !run.isKnown).map((run) => {
      const width = xOf(run.end) - xOf(run.first);
      return { x: xOf(run.first), width, hasText: width >= textWidth("price not known") };
    }),
    prices: priceLabels(runs, xOf, yOf, bounds),
    ticks: ticksOf(day.on, week.zone, startMs, bounds.right, (instant) => frame.plotLeft + ((instant - startMs) / HALF_HOUR_MS) * frame.slotWidth),
    lanes,
    axisY: laneTop + lanes.length * LANE_PX,
    first: day.first,
    count: day.count,
  };
}

/**
 * The hours marked under a strip, at their true places on a day of any length.
 * @param {string} on
 * @param {string} zone
 * @param {number} startMs
 * @param {number} right
 * @param {(instantMs: number) => number} xAt
 * @returns {Strip["ticks"]}
 */
function ticksOf(on, zone, startMs, right, xAt) {
  const inner = ["06:00", "12:00", "18:00"].map((time) => ({
    x: xAt(instantOf(on, time, zone)), text: time, anchor: /** @type {const} */ ("middle"),
  }));
  return [{ x: xAt(startMs), text: "00:00", anchor: "start" }, ...inner, { x: right, text: "24:00", anchor: "end" }];
}

/**
 * Lay the week out for a width.
 * @param {PlanWeek} week
 * @param {number} width [px]
 * @returns {WeekLayout}
 */
export function weekLayout(week, width) {
  const isWide = width >= WIDE_FROM_PX;
  const gutter = week.vehicles.length > 1 ? 16 : 0;
  const plotLeft = (isWide ? 104 : 0) + gutter;
  const longest = Math.max(48, ...week.days.map((day) => fullDayCount(day.on, week.zone)));
  const slotWidth = Math.max(1, width - plotLeft - 1) / longest;
  const range = priceRange(week);
  /** @type {Strip[]} */
  const strips = [];
  let top = 0;
  for (const day of week.days) {
    const strip = stripOf(week, day, { plotLeft, slotWidth, isWide, top, range });
    strips.push(strip);
    top = strip.axisY + AXIS_PX + GAP_PX;
  }
  return { width, height: Math.max(1, top - GAP_PX), plotLeft, plotRight: plotLeft + longest * slotWidth, slotWidth, isWide, strips };
}

/**
 * How many half-hours a whole local day has.
 * @param {string} on
 * @param {string} zone
 * @returns {number}
 */
export function fullDayCount(on, zone) {
  return (instantOf(addDays(on, 1), "00:00", zone) - instantOf(on, "00:00", zone)) / HALF_HOUR_MS;
}

/**
 * The half-hour under a point, or null.
 * @param {WeekLayout} layout
 * @param {number} x
 * @param {number} y
 * @returns {number | null} its place in the week
 */
export function halfHourAt(layout, x, y) {
  const strip = layout.strips.find((one) => y >= one.top && y < one.axisY + AXIS_PX);
  if (!strip || x < strip.left || x >= strip.right) return null;
  return strip.first + Math.min(strip.count - 1, Math.floor((x - strip.left) / layout.slotWidth));
}
