/** How the member's outlets stand: the word, the amps, until when, the evidence, what is missing, what to do next. */
import { html } from "htm/preact";
import { getHousehold } from "../../api/home.js";
import { Empty } from "../../components/empty.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { ClearanceCard } from "./clearance_card.js";

/** @typedef {import("../../api/types.d.ts").Household} Household */

/** The member's outlets. */
export function OutletsPage() {
  const householdId = ownHouseholdId();
  const home = useResource((reading) => getHousehold(householdId, reading), [householdId]);
  return html`<${Page} title="Your outlets" class="page-member" lead="Charging is only planned at an outlet whose evidence allows it.">
    <${Loaded} of=${home} lines=${2} size="card">${(/** @type {Household} */ { clearances, zone }) =>
      clearances.length === 0
        ? html`<${Empty} title="No outlet has been recorded for this home"><p>Ask your scheme's administrator to record where the car is plugged in.</p></${Empty}>`
        : clearances.map((clearance) => html`<${ClearanceCard} key=${clearance.outlet_id} clearance=${clearance} zone=${zone} />`)
    }</${Loaded}>
  </${Page}>`;
}
