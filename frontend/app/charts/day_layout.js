/** Where a typical day's bands go, in pixels: their price as height, gaps and overlaps as their own marks. Pure. */
import { coverage, coverageRuns, halfHourTime } from "../lib/rate_bands.js";
import { formatShortPrice } from "../lib/money.js";
import { textWidth } from "./price_layout.js";

/** @typedef {import("../api/types.d.ts").Band} Band */
/** @typedef {import("../api/types.d.ts").DayKind} DayKind */

/**
 * @typedef {object} DayPart
 * @property {"band" | "gap" | "overlap"} kind
 * @property {number} x
 * @property {number} width
 * @property {number} y
 * @property {number} height
 * @property {string} text as much as fits
 * @property {string} words from, until, which band and price
 */

const BASE_PX = 84;
const TOP_PX = 18;
const DAY_HALF_HOURS = 48;

/**
 * What one run of half-hours holds, in words.
 * @param {Band[]} bands
 * @param {{ first: number, end: number, places: number[] }} run
 * @returns {string}
 */
export function partWords(bands, run) {
  const time = `${halfHourTime(run.first)} to ${halfHourTime(run.end)}`;
  if (run.places.length === 0) return `${time}: no band, a gap`;
  const names = run.places.map((place) => bands[place].name || `band ${place + 1}`);
  if (names.length > 1) return `${time}: ${names.join(" and ")} overlap`;
  const price = bands[run.places[0]].price_pence_per_kwh;
  return `${time}: ${names[0]}${price.trim() === "" ? ", price not entered" : `, ${formatShortPrice(Number(price))}`}`;
}

/**
 * @param {Band[]} bands
 * @param {DayKind} dayKind
 * @param {number} month
 * @param {number} width
 * @returns {{ height: number, baseY: number, parts: DayPart[] }}
 */
export function dayLayout(bands, dayKind, month, width) {
  const runs = coverageRuns(coverage(bands, dayKind, month));
  const priceOf = (/** @type {number} */ place) => Number(bands[place].price_pence_per_kwh) || 0;
  const highest = Math.max(1, ...bands.map((_, place) => priceOf(place)));
  const unit = width / DAY_HALF_HOURS;
  const parts = runs.map((run) => {
    const partWidth = (run.end - run.first) * unit;
    const kind = /** @type {DayPart["kind"]} */ (run.places.length === 0 ? "gap" : run.places.length > 1 ? "overlap" : "band");
    const price = kind === "band" ? Math.max(0, priceOf(run.places[0])) : highest;
    const height = Math.max(2, (price / highest) * (BASE_PX - TOP_PX));
    const short = kind === "band" ? formatShortPrice(priceOf(run.places[0])) : kind;
    const text = textWidth(short) <= partWidth ? short : "";
    return { kind, x: run.first * unit, width: partWidth, y: BASE_PX - height, height, text, words: partWords(bands, run) };
  });
  return { height: BASE_PX + 18, baseY: BASE_PX, parts };
}
