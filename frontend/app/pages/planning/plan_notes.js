/** What stands in the way of the plan: shortfalls with cause and next step, and prices that are not known. */
import { html } from "htm/preact";
import { contractStep } from "../../lib/contract_state.js";
import { CAUSE_WORDS } from "../../lib/plan_words.js";
import { counted, formatEnergy, formatMiles } from "../../lib/quantity.js";
import { groupShortfalls } from "../../lib/shortfall_groups.js";
import { formatInstant, localDay } from "../../lib/time.js";

/** @typedef {import("../../api/types.d.ts").Plan} Plan */

/** @typedef {import("../../api/types.d.ts").Household} Household */
/** @typedef {import("../../api/types.d.ts").PlanShortfall} PlanShortfall */

/**
 * @param {PlanShortfall} shortfall
 * @returns {string}
 */
function shortWords(shortfall) {
  return `${formatEnergy(shortfall.short_kwh)}, about ${formatMiles(shortfall.short_miles)}${
    shortfall.is_reserve_only ? ". The journey itself can be driven; it eats into the reserve" : ""}`;
}

/**
 * What a car needs while nothing at home may charge it: how much, by when, and where else.
 * @param {{ group: import("../../lib/shortfall_groups.js").ShortfallGroup, zone: string }} props
 */
function ElsewhereNote({ group: { label, nextStep, departures }, zone }) {
  return html`<div class="note note-warn">
    <p class="note-title">${label} needs charging elsewhere</p>
    <ul>${departures.map((departure) => html`<li key=${departure.leaves_at}><strong>${formatEnergy(departure.short_kwh)}</strong> by ${formatInstant(departure.leaves_at, zone)}, about ${
      formatMiles(departure.short_miles)}${departure.is_reserve_only ? ". The journey itself can be driven; it eats into the reserve" : ""}</li>`)}</ul>
    <p>No recorded evidence allows charging at home, so nothing is planned there, not even for a while. Public charging is the way round it.</p>
    <p><strong>Next step:</strong> ${nextStep}</p>
  </div>`;
}

/** @param {{ group: import("../../lib/shortfall_groups.js").ShortfallGroup, zone: string }} props */
function ShortfallNote({ group: { label, cause, nextStep, departures }, zone }) {
  const [first] = departures;
  const isOne = departures.length === 1;
  return html`<div class="note note-warn">
    <p class="note-title">Shortfall: ${label}, ${isOne ? `leaving ${formatInstant(first.leaves_at, zone)}` : counted(departures.length, "departure")}</p>
    <p>${isOne && `Short by ${shortWords(first)}. `}${CAUSE_WORDS[cause]}</p>
    ${!isOne && html`<ul>${departures.map((departure) => html`<li key=${departure.leaves_at}>
      ${formatInstant(departure.leaves_at, zone)}: short by ${shortWords(departure)}</li>`)}</ul>`}
    <p><strong>Next step:</strong> ${nextStep}</p>
  </div>`;
}

/** @param {{ plan: Plan, home: Household | null }} props */
function MissingPrices({ plan, home }) {
  if (plan.missing_prices.length === 0) return null;
  const step = contractStep(home?.contracts ?? [], plan, localDay(Date.now(), plan.zone));
  return html`<div class="note"><p class="note-title">Some prices are not known</p>
    <ul>${plan.missing_prices.map((text) => html`<li key=${text}>${text}</li>`)}</ul>
    <p>Costs leave those half-hours out, so the full cost is not known yet.</p>
    ${step && html`<p><strong>Next step:</strong> ${step}</p>`}</div>`;
}

/** @param {{ plan: Plan, home: Household | null }} props */
export function PlanNotes({ plan, home }) {
  return html`
    ${groupShortfalls(plan).map((group) => html`<${group.cause === "no_usable_outlet" ? ElsewhereNote : ShortfallNote} key=${group.key} group=${group} zone=${plan.zone} />`)}
    <${MissingPrices} plan=${plan} home=${home} />
  `;
}
