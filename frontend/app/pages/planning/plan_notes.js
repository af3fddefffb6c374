/** What stands in the way of the plan: shortfalls with cause and next step, and prices that are not known. */
import { html } from "htm/preact";
import { formatEnergy, formatMiles } from "../../lib/quantity.js";
import { formatInstant } from "../../lib/time.js";
import { CAUSE_WORDS } from "../../lib/wording.js";

/** @typedef {import("../../api/types.d.ts").Plan} Plan */

/** @param {{ plan: Plan }} props */
function Shortfalls({ plan }) {
  const found = plan.vehicles.flatMap((vehicle) => vehicle.shortfalls.map((shortfall) => ({ vehicle, shortfall })));
  return found.map(({ vehicle, shortfall }) => html`
    <div class="note note-warn" key=${vehicle.vehicle_id + shortfall.leaves_at}>
      <p class="note-title">Shortfall: ${vehicle.label}, leaving ${formatInstant(shortfall.leaves_at, plan.zone)}</p>
      <p>Short by ${formatEnergy(shortfall.short_kwh)}, about ${formatMiles(shortfall.short_miles)}. ${CAUSE_WORDS[shortfall.cause]}
        ${shortfall.is_reserve_only ? " The journey itself can be driven; it eats into the reserve." : ""}</p>
      <p><strong>Next step:</strong> ${shortfall.next_step}</p>
    </div>`);
}

/** @param {{ plan: Plan }} props */
export function PlanNotes({ plan }) {
  return html`
    <${Shortfalls} plan=${plan} />
    ${plan.missing_prices.length > 0 &&
    html`<div class="note"><p class="note-title">Some prices are not known</p>
      <ul>${plan.missing_prices.map((text) => html`<li key=${text}>${text}</li>`)}</ul>
      <p>Costs leave those half-hours out, so the full cost is not known yet.</p></div>`}
  `;
}
