/** The scheme: what the charging of its homes stands for in carbon, as sums that tell nothing of one home. */
import { html } from "htm/preact";
import { getSchemeCarbon } from "../../api/carbon.js";
import { Empty } from "../../components/empty.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { counted } from "../../lib/quantity.js";
import { useResource } from "../../state/resource.js";
import { CarbonAccount } from "./carbon_account.js";
import { carbonQuery, CarbonChoice, chosen } from "./carbon_choice.js";

/** @typedef {import("../../api/carbon_types.d.ts").SchemeCarbon} SchemeCarbon */

/** @param {{ carbon: SchemeCarbon }} props */
function Sums({ carbon }) {
  const homes = `${counted(carbon.told_household_count, "home")} of ${carbon.household_count}`;
  return html`<p>Counted are ${homes}: those with charging or miles on record. The others are left out, not taken as nought.</p>
    <${CarbonAccount} carbon=${carbon} plannedWords="The plans in force draw in the coming days" />`;
}

/** Carbon of the scheme. */
export function SchemeCarbonPage() {
  const choice = chosen();
  const carbon = useResource((reading) => getSchemeCarbon(carbonQuery(choice), reading), [choice.year, choice.set]);
  return html`<${Page} title="Carbon" class="page-admin"
    lead="What the electricity for the scheme's cars stands for, as kilograms of carbon dioxide and of other gases counted as it (CO₂e), beside petrol cars over the same miles. Whole months, and sums of five homes or more, so that nobody's miles can be told."
    actions=${html`<a class="button" href="/figures?search=carbon">The factors and their sources</a>`}>
    <${CarbonChoice} path="/carbon" choice=${choice} usual="The last twelve whole months" setYears=${carbon.data?.set_years ?? []} />
    <${Loaded} of=${carbon} lines=${3}>${(/** @type {SchemeCarbon} */ data) =>
      data.months.length === 0
        ? html`<${Empty} title="Nothing to tell for this period"><p>A month is told once at least ${data.fewest_households} homes have charging or miles on record for it.</p></${Empty}>`
        : html`<${Sums} carbon=${data} />`
    }</${Loaded}>
  </${Page}>`;
}
