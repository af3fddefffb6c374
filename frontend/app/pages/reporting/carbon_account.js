/** What charging stands for beside petrol cars: sums, energy by how it is known, months, sentences, and the working. */
import { html } from "htm/preact";
import { Details } from "../../components/details.js";
import { Facts } from "../../components/facts.js";
import { WorkingSteps } from "../../components/working_steps.js";
import { kgWords, monthWords, rangeWords, savedWords, SIZE_WORDS } from "../../lib/carbon_words.js";
import { formatEnergy, formatMiles } from "../../lib/quantity.js";

/** @typedef {import("../../api/carbon_types.d.ts").Carbon} Carbon */

/** @param {{ carbon: Carbon }} props */
function Energy({ carbon: { energy, told_miles: told, estimated_miles: estimated } }) {
  return html`<section class="card" aria-labelledby="energy"><h2 id="energy">What was driven</h2>
    <${Facts} rows=${[
      ["At home, by a meter", formatEnergy(energy.metered_kwh)],
      ["At home, as stated", formatEnergy(energy.stated_kwh)],
      ["Away from home", formatEnergy(energy.away_kwh)],
      ["Estimated", formatEnergy(energy.estimated_kwh)],
      ["Miles told", formatMiles(told)],
      ["Miles estimated", formatMiles(estimated)],
    ]} /></section>`;
}

/** @param {{ carbon: Carbon }} props */
function Cars({ carbon }) {
  return html`<section class="card" aria-labelledby="cars"><h2 id="cars">Beside petrol cars</h2>
    <table class="table carbon-cars"><caption class="small">The same miles in a petrol car, and how much less the electricity stands for</caption>
      <thead><tr><th scope="col">Petrol car</th><th scope="col" class="number">It would emit</th><th scope="col" class="number">Electricity</th></tr></thead>
      <tbody>${carbon.petrol_cars.map((car) => html`<tr key=${car.size}><th scope="row">${SIZE_WORDS[car.size]}</th>
        <td class="number">${kgWords(car.emitted_kg)}</td><td class="number">${savedWords(car.saved_kg)}</td></tr>`)}</tbody></table></section>`;
}

/** @param {{ months: Carbon["months"] }} props */
function Months({ months }) {
  return html`<section><h2 id="months">Month by month</h2>
    <div class="table-box" tabindex="0" role="region" aria-labelledby="months"><table class="table stacking compact dense">
      <thead><tr><th scope="col">Month</th><th scope="col" class="number">Energy</th><th scope="col" class="number">Of it estimated</th><th scope="col" class="number">Miles</th>
        <th scope="col" class="number">Electricity</th><th scope="col" class="number">Average petrol car</th></tr></thead>
      <tbody>${months.map((month) => html`<tr key=${month.month_on}><th scope="row">${monthWords(month.month_on)}</th>
        <td data-name="Energy" class="number">${formatEnergy(month.energy_kwh)}</td>
        <td data-name="Of it estimated" class="number">${month.estimated_kwh > 0 ? formatEnergy(month.estimated_kwh) : "none"}</td>
        <td data-name="Miles" class="number">${formatMiles(month.miles)}</td>
        <td data-name="Electricity" class="number">${kgWords(month.electricity_kg)}</td>
        <td data-name="Average petrol car" class="number">${kgWords(month.petrol_kg)}</td></tr>`)}</tbody>
    </table></div></section>`;
}

/** @param {{ carbon: Carbon, plannedWords: string }} props */
export function CarbonAccount({ carbon, plannedWords }) {
  const average = carbon.petrol_cars.find((car) => car.size === "average")?.saved_kg ?? null;
  return html`<section class="card" aria-labelledby="carbon-sums"><h2 id="carbon-sums" class="unseen">In short</h2>
      <dl class="figures">
        <div><dt>Electricity</dt><dd>${kgWords(carbon.electricity_kg)}</dd></div>
        <div><dt>Beside an average petrol car</dt><dd>${savedWords(average)}</dd></div>
        <div><dt>Energy</dt><dd>${formatEnergy(carbon.energy.total_kwh)}</dd></div></dl>
      <p>Over the range of petrol cars: ${rangeWords(carbon.petrol_cars)}.</p>
      <ul class="limits">${carbon.notes.map((note) => html`<li key=${note}>${note}</li>`)}</ul></section>
    <div class="grid-two"><${Energy} carbon=${carbon} /><${Cars} carbon=${carbon} /></div>
    <${Months} months=${carbon.months} />
    ${carbon.planned_kwh !== null && html`<p>${plannedWords} ${formatEnergy(carbon.planned_kwh)}: ${kgWords(carbon.planned_kg)}. It is in no sum above, as it is not yet charged.</p>`}
    <section class="card carbon-working"><${Details} summary="How these figures come about" isOpen=${true}>${() => html`<${WorkingSteps} steps=${carbon.working} />`}</${Details}></section>`;
}
