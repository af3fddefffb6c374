/** Which tariff is cheapest here: the scheme's tariffs ranked by the home's whole year, how firm that is, what was left out. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { compareTariffs } from "../../api/tariff_ranking.js";
import { Details } from "../../components/details.js";
import { Empty } from "../../components/empty.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { WorkingSteps } from "../../components/working_steps.js";
import { formatEnergy, formatMiles } from "../../lib/quantity.js";
import { headline, SOURCE_WORDS } from "../../lib/tariff_ranking_words.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { HowFirm, LeftOutList } from "./tariff_ranking/how_firm.js";
import { MeterBox } from "./tariff_ranking/meter_box.js";
import { PetrolBox } from "./tariff_ranking/petrol_box.js";
import { PlaceCard } from "./tariff_ranking/place_card.js";

/** @typedef {import("../../api/tariff_ranking_types.d.ts").TariffComparison} TariffComparison */

/** @param {{ comparison: TariffComparison }} props */
function Granted({ comparison }) {
  const { house_use: use, notes, leaving } = comparison;
  return html`<section class="card" aria-labelledby="granted">
    <h2 id="granted">What the year is made of</h2>
    <ul class="plain-list">
      <li>The house: ${formatEnergy(use.yearly_kwh)}, ${SOURCE_WORDS[use.source]}.</li>
      <li>The cars: ${formatEnergy(comparison.car_kwh_a_year)} at home for ${formatMiles(comparison.car_miles_a_year)}, as planned now.</li>
      <li>Prices as published today and for days to come; the last ones are taken to go on. A year has 365 days.</li>
      <li>${leaving}</li>
      ${notes.map((note) => html`<li key=${note}>${note}</li>`)}</ul>
    <${Details} summary="How the house's use came about">${() => html`<${WorkingSteps} steps=${use.working} />`}</${Details}>
  </section>`;
}

/** @param {{ comparison: TariffComparison, asked: Record<string, string>, onAsk: (petrol: Record<string, string>) => void }} props */
function Ranking({ comparison, asked, onAsk }) {
  const { items, petrol } = comparison;
  return html`
    <section class=${`verdict verdict-${comparison.firmness.verdict}`} aria-label="Verdict"><p class="verdict-main">${headline(comparison)}</p></section>
    <${HowFirm} comparison=${comparison} />
    ${items.length === 0
      ? html`<${Empty} title="Nothing to rank"><p>No tariff of your scheme has known prices that this home could take. What stands against each is said below.</p></${Empty}>`
      : html`<section aria-labelledby="ranked"><h2 id="ranked">A whole year, the cheapest first</h2>
        <ul class="small year-legend">${[["house", "house"], ["car", "cars"], ["standing", "standing charge"]].map(([part, word]) => html`<li key=${part}><span class=${`swatch part-${part}`}></span>${word}</li>`)}</ul>
        <ol class="places">${items.map((tariff) => html`<${PlaceCard} key=${tariff.tariff_id} tariff=${tariff} items=${items} petrol=${petrol.pence_per_mile} />`)}</ol></section>`}
    <div class="grid-two"><${LeftOutList} comparison=${comparison} />
      <${Granted} comparison=${comparison} /><${PetrolBox} petrol=${petrol} asked=${asked} onAsk=${onAsk} /></div>`;
}

/** Tariffs ranked. */
export function TariffRankingPage() {
  const householdId = ownHouseholdId();
  const [asked, setAsked] = useState(/** @type {Record<string, string>} */ ({}));
  const comparison = useResource((reading) => compareTariffs(householdId, asked, reading), [householdId, asked]);
  return html`<${Page} title="Which tariff" class="page-member page-tariffs-ranked"
    lead="Every tariff of your scheme, by what your whole home would pay in a year: the house as it is, and the cars planned anew under each. Nothing here changes your contract.">
    <div class=${comparison.isLoading && comparison.data ? "stack is-loading" : "stack"}>
      <${Loaded} of=${comparison} lines=${4} size="card">${(/** @type {TariffComparison} */ data) => html`<${Ranking} comparison=${data} asked=${asked} onAsk=${setAsked} />`}</${Loaded}>
    </div>
    <${MeterBox} householdId=${householdId} onChange=${comparison.reload} />
  </${Page}>`;
}
