/** Carbon put in words: kilograms, how much less or more than a petrol car, and the periods to choose from. */

/** @typedef {import("../api/carbon_types.d.ts").PetrolCar} PetrolCar */
/** @typedef {{ value: string, label: string }} Option */

const ONE_DECIMAL = new Intl.NumberFormat("en-GB", { maximumFractionDigits: 1, minimumFractionDigits: 1 });
const MONTH = new Intl.DateTimeFormat("en-GB", { month: "long", year: "numeric", timeZone: "UTC" });
const YEARS_BACK = 2;

/** @type {Record<PetrolCar["size"], string>} */
export const SIZE_WORDS = { average: "Average", small: "Small", medium: "Medium", large: "Large" };

/**
 * An amount: 651.8 -> "651.8 kg".
 * @param {number | null} kg
 * @returns {string}
 */
export function kgWords(kg) {
  return kg === null ? "not known" : `${ONE_DECIMAL.format(kg)} kg`.replace("-", "−");
}

/**
 * What lies between a petrol car and the electricity: "1,966.9 kg less", "3.0 kg more", "the same".
 * @param {number | null} savedKg
 * @returns {string}
 */
export function savedWords(savedKg) {
  if (savedKg === null) return "not known";
  if (Math.abs(savedKg) < 0.05) return "about the same";
  return `${kgWords(Math.abs(savedKg))} ${savedKg > 0 ? "less" : "more"}`;
}

/**
 * The range over small and large petrol cars: "20.1 kg less beside a small one, 40.5 kg less beside a large one".
 * @param {PetrolCar[]} cars
 * @returns {string}
 */
export function rangeWords(cars) {
  const of = (/** @type {PetrolCar["size"]} */ size) => cars.find((car) => car.size === size)?.saved_kg ?? null;
  const [small, large] = [of("small"), of("large")];
  return small === null || large === null ? "not known" : `${savedWords(small)} beside a small one, ${savedWords(large)} beside a large one`;
}

/**
 * A month: "2026-10-01" -> "October 2026".
 * @param {string} monthOn
 * @returns {string}
 */
export function monthWords(monthOn) {
  return MONTH.format(Date.parse(`${monthOn}T00:00Z`));
}

/**
 * The last twelve months, this calendar year and those before.
 * @param {string} today YYYY-MM-DD
 * @param {string} usual the words of the first
 * @returns {Option[]}
 */
export function periodOptions(today, usual) {
  const year = Number(today.slice(0, 4));
  const years = Array.from({ length: YEARS_BACK + 1 }, (_, back) => String(year - back));
  return [{ value: "", label: usual }, ...years.map((value) => ({ value, label: value }))];
}

/**
 * The days of a calendar year as the service takes them; of no year, none, so that it takes the usual ones.
 * @param {string} year
 * @returns {{ from_on?: string, to_on?: string }}
 */
export function periodQuery(year) {
  return /^\d{4}$/.test(year) ? { from_on: `${year}-01-01`, to_on: `${Number(year) + 1}-01-01` } : {};
}
