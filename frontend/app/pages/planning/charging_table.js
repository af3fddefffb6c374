/** Every charging time of the week, with what it costs and the charge it leads to. */
import { html } from "htm/preact";
import { formatPounds } from "../../lib/money.js";
import { formatEnergy, formatPercent } from "../../lib/quantity.js";
import { formatDay, formatInstant, formatLength, formatPeriod, localDay, ms } from "../../lib/time.js";

/** @typedef {import("../../api/types.d.ts").Plan} Plan */
/** @typedef {import("../../api/types.d.ts").PlanBlock} PlanBlock */

/**
 * The blocks of all cars in the order of time.
 * @param {Plan} plan
 * @returns {{ label: string, block: PlanBlock, stay: import("../../api/types.d.ts").PlanStay }[]}
 */
export function chargingRows(plan) {
  return plan.vehicles
    .flatMap(({ label, stays }) => stays.flatMap((stay) => stay.blocks.map((block) => ({ label, block, stay }))))
    .sort((left, right) => ms(left.block.starts_at) - ms(right.block.starts_at));
}

/** @param {{ plan: Plan }} props */
export function ChargingTable({ plan }) {
  const rows = chargingRows(plan);
  const hasSeveral = plan.vehicles.length > 1;
  if (rows.length === 0) return html`<p>No charging is planned in the next seven days.</p>`;
  return html`<section aria-labelledby="charging-title">
    <h2 id="charging-title">Charging times</h2>
    <div class="table-box" tabindex="0" role="region" aria-label="Table of charging times"><table class="table stacking compact dense">
      <thead><tr><th scope="col">Day</th>${hasSeveral && html`<th scope="col">Car</th>`}<th scope="col">Charging time</th><th scope="col">Length</th>
        <th scope="col" class="number">Energy</th><th scope="col" class="number">Cost</th><th scope="col" class="number">Charge reached</th><th scope="col">Leaves</th></tr></thead>
      <tbody>${rows.map(({ label, block, stay }) => html`<tr key=${label + block.starts_at}>
        <th scope="row" class="nowrap">${formatDay(localDay(block.starts_at, plan.zone))}</th>
        ${hasSeveral && html`<td data-name="Car">${label}</td>`}
        <td data-name="Charging time"><strong>${formatPeriod(block, plan.zone)}</strong></td>
        <td data-name="Length" class="nowrap">${formatLength(block.starts_at, block.ends_at)}</td>
        <td data-name="Energy" class="number">${formatEnergy(block.energy_kwh)}</td>
        <td data-name="Cost" class="number">${formatPounds(block.cost_pence)}</td>
        <td data-name="Charge reached" class="number">${formatPercent(stay.reached_percent)}</td>
        <td data-name="Leaves" class="nowrap">${stay.leaves_at ? formatInstant(stay.leaves_at, plan.zone) : "–"}</td>
      </tr>`)}</tbody>
    </table></div>
    <p class="small">"Charge reached" is at the end of that stay at home, after all its charging times.</p>
  </section>`;
}
