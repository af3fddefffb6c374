/** Which homes first for a budget: stopped homes, then the set that avoids most shortfall and saves most. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { getSchemeUpgrades, upgradesExportAddress } from "../../api/upgrades.js";
import { Details } from "../../components/details.js";
import { Empty } from "../../components/empty.js";
import { Field } from "../../components/field.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { Progress } from "../../components/progress.js";
import { WorkingSteps } from "../../components/working_steps.js";
import { formatPounds } from "../../lib/money.js";
import { formatEnergy } from "../../lib/quantity.js";
import { PLACE_WORDS } from "../../lib/upgrade_words.js";
import { adjust, url } from "../../state/router.js";
import { useResource } from "../../state/resource.js";
import { RankedTable } from "./upgrades/ranked_table.js";

/** @typedef {import("../../api/upgrade_types.d.ts").SchemeUpgrades} SchemeUpgrades */

const USUAL_BUDGET = "10000";
/** @type {import("../../lib/form_values.js").FieldSpec} */
const BUDGET = { name: "budget_pounds", label: "Budget", kind: "number", unit: "pounds", min: 0, step: 1, isRequired: true };

/** @param {{ budget: string, onAsk: (budget: string) => void }} props */
function BudgetForm({ budget, onAsk }) {
  const [entry, setEntry] = useState(budget);
  const submit = (/** @type {Event} */ event) => {
    event.preventDefault();
    onAsk(String(entry).trim());
  };
  return html`<form class="filters budget" onSubmit=${submit}>
    <${Field} spec=${BUDGET} value=${entry} onInput=${setEntry} />
    <button class="button button-main">Rank the homes</button>
  </form>`;
}

/** @param {{ found: SchemeUpgrades }} props */
function Totals({ found }) {
  const paid = found.items.filter((home) => home.is_paid_for).length;
  const pounds = (/** @type {number} */ whole) => formatPounds(String(whole * 100)).replace(/\.00$/, "");
  return html`<dl class="figures">
    <div><dt>Paid for</dt><dd>${paid} of ${found.home_count} homes</dd></div>
    <div><dt>Spent</dt><dd>${pounds(found.spent_pounds)} of ${pounds(found.budget_pounds)}</dd></div>
    <div><dt>Shortfall avoided a year</dt><dd>${formatEnergy(found.avoided_kwh)}</dd></div>
    <div><dt>Worth over ${found.life_years} years, after cost</dt><dd>${formatPounds(found.worth_pence)}</dd></div>
  </dl>`;
}

/** @param {{ found: SchemeUpgrades, budget: string }} props */
function Ranked({ found, budget }) {
  if (found.items.length === 0) {
    return html`<${Empty} title="This scheme has no homes yet"><p><a class="button button-main" href="/households/new">Add a home</a></p></${Empty}>`;
  }
  return html`
    ${found.reckoned_count < found.home_count && html`<${Progress} label="Homes reckoned" done=${found.reckoned_count} total=${found.home_count}
      text=${`${found.reckoned_count} of ${found.home_count} homes reckoned as they are now. The others follow by themselves; until then they stand with older figures or at the end.`} />`}
    <${Totals} found=${found} />
    <p class="small">${found.counts.filter(({ household_count: count }) => count > 0).map(({ place, household_count: count }) => `${PLACE_WORDS[place]}: ${count}`).join(" · ")}</p>
    <div class="bulk-actions">
      <a class="button" href=${upgradesExportAddress(budget, "csv")} download>Export as CSV</a>
      <a class="button" href=${upgradesExportAddress(budget, "xlsx")} download>Export as XLSX</a>
    </div>
    <${RankedTable} rows=${found.items} />
    <${Details} summary="How the choice was made">${() => html`<${WorkingSteps} steps=${found.working} />`}</${Details}>`;
}

/** Works at the scheme's homes. */
export function UpgradesPage() {
  const budget = new URLSearchParams(url.value.split("?")[1] ?? "").get("budget_pounds") ?? USUAL_BUDGET;
  const found = useResource((reading) => getSchemeUpgrades(budget, reading), [budget]);
  const ask = (/** @type {string} */ wanted) => (wanted === budget ? found.reload() : adjust(`/upgrades?budget_pounds=${encodeURIComponent(wanted)}`));
  return html`<${Page} title="Upgrades" class="page-admin page-upgrades"
    lead="Which homes first for a budget. Homes that charging is stopped in come first, by risk; the rest is spent where it avoids most shortfall, then saves most. Nothing here clears anything for use. Not tax advice.">
    <${BudgetForm} budget=${budget} onAsk=${ask} />
    <div class=${found.isLoading && found.data ? "stack is-loading" : "stack"}>
      <${Loaded} of=${found} lines=${8} size="line">${(/** @type {SchemeUpgrades} */ data) => html`<${Ranked} found=${data} budget=${budget} />`}</${Loaded}>
    </div>
  </${Page}>`;
}
