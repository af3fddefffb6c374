/** A member's home: what its charging stands for in carbon, beside petrol cars over the same miles. */
import { html } from "htm/preact";
import { getHomeCarbon } from "../../api/carbon.js";
import { Empty } from "../../components/empty.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { CarbonAccount } from "./carbon_account.js";
import { carbonQuery, CarbonChoice, chosen } from "./carbon_choice.js";

/** @typedef {import("../../api/carbon_types.d.ts").Carbon} Carbon */

/** Carbon of a home. */
export function HomeCarbonPage() {
  const choice = chosen();
  const carbon = useResource((reading) => getHomeCarbon(ownHouseholdId(), carbonQuery(choice), reading), [choice.year, choice.set]);
  return html`<${Page} title="Carbon" class="page-member"
    lead="What the electricity for your cars stands for, as kilograms of carbon dioxide and of other gases counted as it (CO₂e), beside petrol cars over the same miles.">
    <${CarbonChoice} path="/money/carbon" choice=${choice} usual="The year up to today" setYears=${carbon.data?.set_years ?? []} />
    <${Loaded} of=${carbon} lines=${3}>${(/** @type {Carbon} */ data) =>
      data.months.length === 0
        ? html`<${Empty} title="Nothing is recorded in this period"><p>It is reckoned from <a href="/money/charged">what was charged</a>, or from the miles in the diary of <a href="/cars">each car</a>.</p></${Empty}>`
        : html`<${CarbonAccount} carbon=${data} plannedWords="Your plan for the coming days draws" />`
    }</${Loaded}>
  </${Page}>`;
}
