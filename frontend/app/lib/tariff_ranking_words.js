/** What the ranking of tariffs says in words, and how long its bars are. */
import { formatPounds } from "./money.js";

/** @typedef {import("../api/tariff_ranking_types.d.ts").TariffComparison} TariffComparison */
/** @typedef {import("../api/tariff_ranking_types.d.ts").RankedTariff} RankedTariff */
/** @typedef {import("../api/tariff_ranking_types.d.ts").Flip} Flip */
/** @typedef {import("../api/tariff_ranking_types.d.ts").BreakEven} BreakEven */

const NUMBER = new Intl.NumberFormat("en-GB", { maximumFractionDigits: 0 });

const TENTHS = new Intl.NumberFormat("en-GB", { maximumFractionDigits: 1 });

/** @type {Record<import("../api/tariff_ranking_types.d.ts").UseSource, string>} */
export const SOURCE_WORDS = {
  half_hours: "from the home's own half-hourly readings",
  meter: "from two readings of the home's meter",
  told: "as you told us",
  typical: "a typical value: of an average home, not of yours",
};

/** @type {Record<import("../api/tariff_ranking_types.d.ts").MeterKind, string>} */
export const METER_WORDS = {
  not_known: "Not known",
  single_rate: "One rate",
  two_rate: "Two rates (day and night)",
  half_hourly: "Smart meter, read each half-hour",
};

/**
 * Whole pence as pounds.
 * @param {number | null} pence
 * @returns {string}
 */
export function pounds(pence) {
  return formatPounds(pence === null ? null : String(pence));
}

/**
 * How far a tariff lies from the present one: "£12.30 less a year".
 * @param {RankedTariff} tariff
 * @returns {string}
 */
export function differenceWords({ is_present: isPresent, difference_pence: difference }) {
  if (isPresent) return "Your tariff now";
  if (difference === null) return "";
  if (difference === 0) return "The same a year as now";
  return `${pounds(Math.abs(difference))} a year ${difference < 0 ? "less" : "more"} than now`;
}

/**
 * The verdict in one line.
 * @param {TariffComparison} comparison
 * @returns {string}
 */
export function headline({ items, firmness }) {
  const [first, second] = items;
  if (!first) return "No tariff can be ranked yet";
  if (!second) return `${first.name} is the only tariff that can be ranked`;
  const by = pounds(second.yearly_pence - first.yearly_pence);
  const lead = first.is_present ? `Stay on ${first.name}` : `${first.name} is cheapest`;
  return firmness.verdict === "firm" ? `${lead}, by ${by} a year` : `${lead}, but it is close: ${by} a year`;
}

/**
 * Where first and second would swap, by one input.
 * @param {Flip} flip
 * @param {string[]} between
 * @returns {string}
 */
export function flipWords({ what, of, value, flips_at: at }, [first = "", second = ""]) {
  const [name, unit] = {
    house_kwh: ["The house's use", " kWh a year"],
    car_miles: ["The cars' miles", " miles a year"],
    cheap_share: [`The use that falls in the cheap hours of ${of}`, " %"],
  }[what] ?? ["", ""];
  const format = what === "cheap_share" ? TENTHS : NUMBER;
  const now = `${name}: ${format.format(Number(value))}${unit} now.`;
  if (at === null) return `${now} No other value puts ${second} before ${first}.`;
  return `${now} At ${format.format(Number(at))}${unit} ${first} and ${second} cost the same.`;
}

/**
 * The share of use in the cheap hours at which a tariff costs what a flat one does, beside the home's own.
 * @param {RankedTariff} tariff
 * @param {RankedTariff[]} items
 * @returns {string}
 */
export function breakEvenWords({ name, break_even: found, yearly_pence: yearly }, items) {
  if (!found) return "";
  const { against, share_percent: share, own_share_percent: own } = found;
  const here = `You are at ${TENTHS.format(own)} %.`;
  if (share !== null) return `${name} costs what ${against} does when ${TENTHS.format(share)} % of all use falls in its cheap hours. ${here}`;
  const flat = items.find((each) => each.name === against)?.yearly_pence ?? yearly;
  return `${name} is ${yearly <= flat ? "cheaper" : "dearer"} than ${against} whatever share of use falls in its cheap hours. ${here}`;
}

/**
 * A part's length on a bar that the dearest tariff fills [%]; never below nothing, for a credit has no length.
 * @param {number} pence
 * @param {RankedTariff[]} items
 * @returns {number}
 */
export function barPercent(pence, items) {
  const most = Math.max(1, ...items.map(({ house_pence: house, car_pence: car, standing_pence: standing }) => Math.max(0, house) + Math.max(0, car) + Math.max(0, standing)));
  return Math.round((Math.max(0, pence) * 1000) / most) / 10;
}
