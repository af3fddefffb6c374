/** Why this plan: each charging time's reason, and what other ways of charging would cost in the same week. */
import { html } from "htm/preact";
import { nextBestWords, priceWords, WAY_WORDS, whyWords } from "../../lib/block_words.js";
import { formatPounds } from "../../lib/money.js";
import { formatEnergy } from "../../lib/quantity.js";
import { formatDay, formatPeriod, localDay } from "../../lib/time.js";
import { chargingRows } from "./charging_table.js";

/** @typedef {import("../../api/types.d.ts").Plan} Plan */

/** @param {{ plan: Plan }} props */
function Reasons({ plan }) {
  const rows = chargingRows(plan).flatMap(({ label, block }) => (block.why ? [{ label, block, why: block.why }] : []));
  if (rows.length === 0) return null;
  return html`<div class="table-box" tabindex="0" role="region" aria-label="Table of reasons"><table class="table stacking compact dense">
    <caption class="unseen">Why each charging time is where it is</caption>
    <thead><tr><th scope="col">Charging time</th><th scope="col">Why</th><th scope="col" class="number">Price a kWh</th>
      <th scope="col" class="number">Next best</th></tr></thead>
    <tbody>${rows.map(({ label, block, why }) => html`<tr key=${label + block.starts_at}>
      <th scope="row">${plan.vehicles.length > 1 ? `${label}, ` : ""}${formatDay(localDay(block.starts_at, plan.zone))} ${formatPeriod(block, plan.zone)}</th>
      <td data-name="Why">${whyWords(why, plan.zone)}</td>
      <td data-name="Price a kWh" class="number">${priceWords(why)}</td>
      <td data-name="Next best" class="number">${nextBestWords(why)}</td></tr>`)}</tbody>
  </table></div>
  <p class="small">"Next best" is what the same energy would cost more in the cheapest charging time that is left.</p>`;
}

/** @param {{ plan: Plan }} props */
function OtherWays({ plan }) {
  return html`<div class="table-box" tabindex="0" role="region" aria-label="Table of other ways"><table class="table stacking compact dense">
    <caption class="unseen">What other ways of charging would cost in the same week</caption>
    <thead><tr><th scope="col">Way of charging</th><th scope="col" class="number">Cost</th><th scope="col" class="number">Energy</th>
      <th scope="col" class="number">Short for journeys</th></tr></thead>
    <tbody>${plan.vehicles.flatMap((vehicle) => vehicle.other_ways.map((other) => html`<tr key=${vehicle.vehicle_id + other.way}>
      <th scope="row">${plan.vehicles.length > 1 ? `${vehicle.label}: ` : ""}${WAY_WORDS[other.way]}</th>
      <td data-name="Cost" class="number">${formatPounds(other.cost_pence)}</td>
      <td data-name="Energy" class="number">${formatEnergy(other.energy_kwh)}</td>
      <td data-name="Short for journeys" class="number">${other.short_kwh > 0 ? formatEnergy(other.short_kwh) : "nothing"}</td></tr>`))}</tbody>
  </table></div>`;
}

/** @param {{ plan: Plan }} props */
export function PlanReasons({ plan }) {
  if (plan.is_stopped || plan.vehicles.length === 0) return null;
  const gap = plan.sharing_gap_pence;
  return html`<section aria-labelledby="why-title">
    <h2 id="why-title">Why this plan</h2>
    <${Reasons} plan=${plan} />
    <h3>Other ways in the same week</h3>
    <${OtherWays} plan=${plan} />
    ${gap !== null && Number(gap) > 0 && html`<p class="small">Sharing the outlets another way could save up to ${formatPounds(gap)}: with so many cars not every way was looked at.</p>`}
    <p><a href="/what-if">What if something changed: commute, car, tariff, outlet?</a></p>
  </section>`;
}
