/** Energy, charge, distance and current in words a member reads. */

const ONE_DECIMAL = new Intl.NumberFormat("en-GB", { maximumFractionDigits: 1 });
const WHOLE = new Intl.NumberFormat("en-GB", { maximumFractionDigits: 0 });

/**
 * Energy to one decimal: 14.26 -> "14.3 kWh".
 * @param {number | null | undefined} kwh
 * @returns {string}
 */
export function formatEnergy(kwh) {
  return kwh === null || kwh === undefined ? "not known" : `${ONE_DECIMAL.format(kwh)} kWh`;
}

/**
 * A share of the battery: 79.6 -> "80%".
 * @param {number | null | undefined} percent
 * @returns {string}
 */
export function formatPercent(percent) {
  return percent === null || percent === undefined ? "not known" : `${WHOLE.format(percent)}%`;
}

/**
 * A distance: 21.2 -> "21 miles".
 * @param {number | string} miles
 * @returns {string}
 */
export function formatMiles(miles) {
  const text = WHOLE.format(Number(miles));
  return text === "1" ? "1 mile" : `${text} miles`;
}

/**
 * A current: 10 -> "10 A".
 * @param {number | null | undefined} amps
 * @returns {string}
 */
export function formatAmps(amps) {
  return amps === null || amps === undefined ? "not known" : `${ONE_DECIMAL.format(amps)} A`;
}

/**
 * A number with its noun: (1, "home") -> "1 home", (3, "home") -> "3 homes".
 * @param {number} count
 * @param {string} noun
 * @param {string} [plural]
 * @returns {string}
 */
export function counted(count, noun, plural = `${noun}s`) {
  return `${WHOLE.format(count)} ${count === 1 ? noun : plural}`;
}
