/** One car of the member: its limits, the week's routine, and journeys on dates. */
import { html } from "htm/preact";
import { getHousehold } from "../../api/home.js";
import { getVehicle } from "../../api/households.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { CarLimits } from "./car_limits.js";
import { Journeys } from "./journeys.js";
import { RoutineEditor } from "./routine_editor.js";

/** @param {{ vehicleId: string }} props */
export function CarPage({ vehicleId }) {
  const householdId = ownHouseholdId();
  const vehicle = useResource((reading) => getVehicle(householdId, vehicleId, reading), [vehicleId]);
  const home = useResource((reading) => getHousehold(householdId, reading), [householdId]);
  return html`<${Page} title=${vehicle.data?.label ?? "Your car"} class="page-member"
    lead=${html`<a href="/cars">All your cars</a>. After a change the plan is worked out anew; see it under <a href="/today">Today</a>.`}>
    <section class="card" aria-labelledby="limits-title">
      <h2 id="limits-title">Charge limits</h2>
      <div class="limits"><${Loaded} of=${vehicle} lines=${2} size="line">${() => html`<${CarLimits} vehicle=${vehicle} />`}</${Loaded}></div>
    </section>
    <section class="card" aria-labelledby="routine-title">
      <h2 id="routine-title">The week's routine</h2>
      <${RoutineEditor} vehicleId=${vehicleId} />
    </section>
    <section class="card" aria-labelledby="journeys-title">
      <h2 id="journeys-title">Journeys on dates</h2>
      <${Loaded} of=${home} lines=${2} size="line">${(/** @type {import("../../api/types.d.ts").Household} */ { zone }) =>
        html`<${Journeys} vehicleId=${vehicleId} zone=${zone} />`}</${Loaded}>
    </section>
  </${Page}>`;
}
