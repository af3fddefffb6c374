/** The week's prices as one table a day, opened on demand. */
import { html } from "htm/preact";
import { priceRuns } from "../../charts/price_layout.js";
import { halfHourMs } from "../../charts/week_layout.js";
import { Details } from "../../components/details.js";
import { formatShortPrice, formatUnitPrice } from "../../lib/money.js";
import { formatEnergy } from "../../lib/quantity.js";
import { formatDay, formatTime } from "../../lib/time.js";

/** @typedef {import("../../api/types.d.ts").PlanWeek} PlanWeek */
/** @typedef {import("../../charts/price_layout.js").PriceRun} PriceRun */

/**
 * What is charged in a run of half-hours, all cars together [kWh].
 * @param {PlanWeek} week
 * @param {PriceRun} run
 * @returns {number}
 */
export function energyIn(week, run) {
  return week.vehicles.reduce((sum, vehicle) => sum + vehicle.energy_kwh.slice(run.first, run.end).reduce((part, kwh) => part + kwh, 0), 0);
}

/**
 * A day's prices in a few words.
 * @param {PriceRun[]} runs
 * @returns {string}
 */
export function rangeWords(runs) {
  const prices = runs.filter((run) => run.isKnown).map((run) => run.price);
  if (prices.length === 0) return "price not known";
  const [low, high] = [Math.min(...prices), Math.max(...prices)];
  const range = low === high ? formatShortPrice(low) : `${formatShortPrice(low)} to ${formatShortPrice(high)}`;
  return prices.length < runs.length ? `${range}, some not known` : range;
}

/** @param {{ week: PlanWeek, runs: PriceRun[], name: string }} props */
function DayPrices({ week, runs, name }) {
  return html`<table class="table table-tight"><caption class="unseen">Prices on ${name}</caption>
    <thead><tr><th scope="col">Time</th><th scope="col" class="number">Price per kWh</th><th scope="col" class="number">Charging</th></tr></thead>
    <tbody>${runs.map((run) => {
      const energyKwh = energyIn(week, run);
      return html`<tr key=${run.first}>
        <th scope="row">${formatTime(halfHourMs(week, run.first), week.zone)} to ${formatTime(halfHourMs(week, run.end), week.zone)}</th>
        <td class="number">${run.isKnown ? formatUnitPrice(String(run.price)) : "not known"}</td>
        <td class="number">${energyKwh > 0 ? formatEnergy(energyKwh) : "–"}</td></tr>`;
    })}</tbody></table>`;
}

/** @param {{ week: PlanWeek }} props */
export function PriceTables({ week }) {
  return html`<section aria-labelledby="prices-title">
    <h2 id="prices-title">Prices by day</h2>
    ${week.days.map((day) => {
      const runs = priceRuns(week, day.first, day.count);
      const name = formatDay(day.on);
      return html`<${Details} key=${day.on} summary=${`${name}: ${rangeWords(runs)}`}>${
        () => html`<${DayPrices} week=${week} runs=${runs} name=${name} />`
      }</${Details}>`;
    })}
  </section>`;
}
