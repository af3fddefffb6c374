/** The seven days' energy and cost against charging at once on arrival. */
import { html } from "htm/preact";
import { Facts } from "../../components/facts.js";
import { tariffWords } from "../../lib/contract_state.js";
import { differencePence, formatPounds } from "../../lib/money.js";
import { formatEnergy } from "../../lib/quantity.js";
import { formatInstant, localDay } from "../../lib/time.js";

/** @param {{ plan: import("../../api/types.d.ts").Plan, home: import("../../api/types.d.ts").Household | null, hasWeekLink?: boolean }} props */
export function WeekTotals({ plan, home, hasWeekLink = false }) {
  const saved = differencePence(plan.on_arrival_cost_pence, plan.cost_pence);
  const unpricedKwh = plan.vehicles.reduce((sum, vehicle) => sum + vehicle.unpriced_kwh, 0);
  /** @type {[string, unknown][]} */
  const rows = [
    ["Energy", formatEnergy(plan.energy_kwh)],
    ["Cost by this plan", html`<strong class="nowrap">${formatPounds(plan.cost_pence)}</strong>`],
    ["Charged at once on arrival", html`<span class="nowrap">${formatPounds(plan.on_arrival_cost_pence)}</span>`],
    [Number(saved) > 0 ? "Saved" : "Difference", html`<strong class="nowrap">${formatPounds(saved)}</strong>`],
  ];
  if (unpricedKwh > 0) rows.push(["Without a known price", formatEnergy(unpricedKwh)]);
  return html`<section class="card" aria-labelledby="week-totals">
    <h2 id="week-totals">The next seven days</h2>
    <${Facts} rows=${rows} class="facts-wide" />
    <p class="small">${tariffWords(home?.contracts ?? [], plan, localDay(Date.now(), plan.zone))} Worked out
      ${" "}${formatInstant(plan.computed_at, plan.zone)}. ${hasWeekLink && html`<a href="/week">See the whole week</a>`}</p>
  </section>`;
}
