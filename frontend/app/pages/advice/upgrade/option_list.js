/** Each work with its cost, what it brings a year, when it pays back, what it is worth, and its working. */
import { html } from "htm/preact";
import { Details } from "../../../components/details.js";
import { Facts } from "../../../components/facts.js";
import { WorkingSteps } from "../../../components/working_steps.js";
import { formatPounds } from "../../../lib/money.js";
import { formatEnergy } from "../../../lib/quantity.js";
import { WORK_WORDS, costNote, paybackWords } from "../../../lib/upgrade_words.js";

/** @typedef {import("../../../api/upgrade_types.d.ts").Upgrade} Upgrade */
/** @typedef {import("../../../api/upgrade_types.d.ts").UpgradeOption} UpgradeOption */

/** @param {UpgradeOption} option @returns {[string, unknown][]} */
function facts(option) {
  return [
    ["Less lost on the way", formatPounds(option.from_losses_pence)],
    ["Cheaper half-hours", formatPounds(option.from_hours_pence)],
    ["Charged at home, no longer short", formatPounds(option.from_more_pence)],
    ["Public charging avoided", option.public_pence === null ? "not counted: no price is known" : formatPounds(option.public_pence)],
    ["Shortfall avoided", option.avoided_kwh > 0 ? `${formatEnergy(option.avoided_kwh)} a year` : "none"],
    ["Rate of return", option.rates_percent.length === 1 ? `${option.rates_percent[0]} % a year` : option.rates_percent.length === 0 ? "none" : "several: see the working"],
    ["May cost at most", formatPounds(option.most_cost_pence)],
    ["Must charge a year", option.least_kwh === null ? "no amount is enough" : formatEnergy(option.least_kwh)],
  ];
}

/** @param {{ option: UpgradeOption, isBest: boolean, years: number | null }} props */
function Row({ option, isBest, years }) {
  const name = WORK_WORDS[option.work];
  const note = costNote(option);
  return html`<tr class=${isBest ? "is-best" : ""}>
    <th scope="row">${name}${isBest && html`<span class="cell-note">named above</span>`}</th>
    <td class="number" data-name="Cost">${formatPounds(option.cost_pence)}${note && html`<span class="cell-note">${note}</span>`}</td>
    <td class="number" data-name="Saved a year">${formatPounds(option.saved_pence)}</td>
    <td class="number" data-name="Pays back in">${paybackWords(option)}</td>
    <td class="number" data-name=${`Worth over ${years} years`}>${formatPounds(option.worth_pence)}</td>
  </tr>`;
}

/** @param {{ option: UpgradeOption }} props */
function Working({ option }) {
  const name = WORK_WORDS[option.work];
  return html`<${Details} summary=${html`${name}: ${option.words}`}>${() => html`
    <${Facts} rows=${facts(option)} />
    <${WorkingSteps} steps=${option.working} />`}</${Details}>`;
}

/** @param {{ upgrade: Upgrade }} props */
export function OptionList({ upgrade }) {
  const { options, life_years: years, best } = upgrade;
  return html`<section aria-labelledby="works">
    <h2 id="works">What could be done at the ${upgrade.outlet}</h2>
    <div class="table-box" tabindex="0" role="region" aria-label="Works compared with staying"><table class="table stacking compact">
      <caption class="unseen">Works compared with staying: cost, what is saved a year, when that pays back, and what it is worth today</caption>
      <thead><tr><th scope="col">Work</th><th scope="col" class="number">Cost</th><th scope="col" class="number">Saved a year</th>
        <th scope="col" class="number">Pays back in</th><th scope="col" class="number">Worth over ${years} years</th></tr></thead>
      <tbody>${options.map((option) => html`<${Row} key=${option.work} option=${option} isBest=${option.work === best} years=${years} />`)}</tbody>
    </table></div>
    <p class="small">Worth: what is saved over ${years} years less the cost, in today's money; below nought it costs more than it saves. Each figure stands ${upgrade.as_if}.</p>
    <div class="upgrade-workings">${options.map((option) => html`<${Working} key=${option.work} option=${option} />`)}</div>
  </section>`;
}
