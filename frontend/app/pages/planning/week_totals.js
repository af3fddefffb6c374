/** The seven days' energy and cost against charging at once on arrival. */
import { html } from "htm/preact";
import { Facts } from "../../components/facts.js";
import { differencePence, formatPounds } from "../../lib/money.js";
import { formatEnergy } from "../../lib/quantity.js";
import { formatInstant } from "../../lib/time.js";

/** @param {{ plan: import("../../api/types.d.ts").Plan, hasWeekLink?: boolean }} props */
export function WeekTotals({ plan, hasWeekLink = false }) {
  const saved = differencePence(plan.on_arrival_cost_pence, plan.cost_pence);
  const unpricedKwh = plan.vehicles.reduce((sum, vehicle) => sum + vehicle.unpriced_kwh, 0);
  /** @type {[string, unknown][]} */
  const rows = [
    ["Energy", formatEnergy(plan.energy_kwh)],
    ["Cost by this plan", html`<strong>${formatPounds(plan.cost_pence)}</strong>`],
    ["Charged at once on arrival", formatPounds(plan.on_arrival_cost_pence)],
    ["Difference", html`<strong>${formatPounds(saved)}</strong>`],
  ];
  if (unpricedKwh > 0) rows.push(["Without a known price", formatEnergy(unpricedKwh)]);
  return html`<section class="card" aria-labelledby="week-totals">
    <h2 id="week-totals">The next seven days</h2>
    <${Facts} rows=${rows} class="facts-wide" />
    <p class="small">${plan.tariff_name ? `Tariff: ${plan.tariff_name}. ` : "The tariff is not known. "}Worked out
      ${" "}${formatInstant(plan.computed_at, plan.zone)}. ${hasWeekLink && html`<a href="/week">See the whole week</a>`}</p>
  </section>`;
}
