/** Is a faster charging point worth it: the verdict in one line, each work, what else it takes, quotes, the working. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { getUpgrade } from "../../api/upgrades.js";
import { Details } from "../../components/details.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { WorkingSteps } from "../../components/working_steps.js";
import { formatEnergy } from "../../lib/quantity.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { OptionList } from "./upgrade/option_list.js";
import { Quotes } from "./upgrade/quotes.js";
import { SecondCar } from "./upgrade/second_car.js";
import { TakesList } from "./upgrade/takes_list.js";

/** @typedef {import("../../api/upgrade_types.d.ts").Upgrade} Upgrade */

/** @param {{ upgrade: Upgrade }} props */
function Verdict({ upgrade }) {
  const { short_kwh: short, is_stopped: isStopped, answer } = upgrade;
  return html`<section class=${`verdict verdict-${answer}`} aria-label="Verdict">
    <p class="verdict-main">${upgrade.headline}</p>
    ${upgrade.is_as_if_cleared && !isStopped && html`<p>Nothing may charge here so far: a check of what is there comes first. The figures are as if it had been cleared.</p>`}
    ${(isStopped || upgrade.is_as_if_cleared) && html`<p><a href="/outlets">What is recorded of your outlets</a></p>`}
    ${upgrade.options.length > 0 && html`<p class="small">${short
      ? `As it is, a week like the coming one leaves ${formatEnergy(short)} short.`
      : "As it is, a week like the coming one leaves nothing short."}${upgrade.has_second_car ? " The second car is reckoned in." : ""}</p>`}
  </section>`;
}

/** @param {{ upgrade: Upgrade }} props */
function Answer({ upgrade }) {
  if (upgrade.options.length === 0) return html`<${Verdict} upgrade=${upgrade} /><p><a href="/cars">Your cars</a> · <a href="/outlets">Your outlets</a></p>`;
  return html`
    <${Verdict} upgrade=${upgrade} />
    <${OptionList} upgrade=${upgrade} />
    <${TakesList} takes=${upgrade.takes} />
    <section class="card" aria-labelledby="granted">
      <h2 id="granted">What was taken for granted</h2>
      <ul class="plain-list">${upgrade.notes.map((note) => html`<li key=${note}>${note}</li>`)}
        <li>A year is 52 weeks like the coming one, planned by the same planner as your plan.</li>
        <li>Works last ${upgrade.life_years} years; later money counts for ${upgrade.rate_percent} % less each year.</li></ul>
      <${Details} summary="How the weeks were planned">${() => html`<${WorkingSteps} steps=${upgrade.working} />`}</${Details}>
    </section>`;
}

/** The verdict on works at the home's outlet. */
export function UpgradePage() {
  const householdId = ownHouseholdId();
  const [second, setSecond] = useState(/** @type {Record<string, string>} */ ({}));
  const upgrade = useResource((reading) => getUpgrade(householdId, second, reading), [householdId, second]);
  return html`<${Page} title="A faster charging point" class="page-member page-upgrade"
    lead="Is it worth it? The coming week is planned again with each kind of work, and a year of such weeks is held against its cost. Not tax advice.">
    <div class=${upgrade.isLoading && upgrade.data ? "stack is-loading" : "stack"}>
      <${Loaded} of=${upgrade} lines=${4} size="card">${(/** @type {Upgrade} */ data) => html`<${Answer} upgrade=${data} />`}</${Loaded}>
    </div>
    <${Quotes} onChange=${upgrade.reload} />
    <${SecondCar} isReckoned=${"second_miles" in second} problem=${upgrade.problem} onAsk=${setSecond} />
  </${Page}>`;
}
