/** What else to move into cheaper hours, only while somebody is awake and only where supply and circuit carry it. */
import { html } from "htm/preact";
import { getApplianceAdvice, getAppliances } from "../../api/appliances.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { AdviceList } from "./appliances/advice_list.js";
import { StatedForm } from "./appliances/stated_form.js";

/** @typedef {import("../../api/appliance_types.d.ts").Appliances} Appliances */
/** @typedef {import("../../api/appliance_types.d.ts").ApplianceAdvice} ApplianceAdvice */

/** Appliances to move. */
export function AppliancesPage() {
  const householdId = ownHouseholdId();
  const stated = useResource((reading) => getAppliances(householdId, reading), [householdId]);
  const advice = useResource((reading) => getApplianceAdvice(householdId, reading), [householdId]);
  return html`<${Page} title="What else to move" class="page-member page-appliances"
    lead="What moving the dishwasher, the washing or hot water adds in a year at your own prices.">
    <section class="card" aria-labelledby="stated"><h2 id="stated">Your appliances</h2>
      <${Loaded} of=${stated} lines=${3} size="line">${(/** @type {Appliances} */ data) => html`<${StatedForm} stated=${stated} data=${data} onSaved=${advice.reload} />`}</${Loaded}>
    </section>
    <div class=${advice.isLoading && advice.data ? "stack is-loading" : "stack"}>
      <${Loaded} of=${advice} lines=${3} size="card">${(/** @type {ApplianceAdvice} */ data) => html`<${AdviceList} advice=${data} />`}</${Loaded}>
    </div>
  </${Page}>`;
}
