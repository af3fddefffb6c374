/** One car of the member: its limits, the week's routine, and journeys on dates. */
import { html } from "htm/preact";
import { getHousehold } from "../../api/home.js";
import { getVehicle } from "../../api/households.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { Skeleton } from "../../components/skeleton.js";
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
      <div class="car-limits"><${Loaded} of=${vehicle} lines=${2} size="line">${() => home.problem || home.data
        ? html`<${CarLimits} vehicle=${vehicle} outlets=${home.data?.outlets ?? []} />` : html`<${Skeleton} lines=${2} size="line" />`}</${Loaded}></div>
    </section>
    <section class="card" aria-labelledby="routine-title">
      <h2 id="routine-title">The week's routine</h2>
      <${RoutineEditor} vehicleId=${vehicleId} />
    </section>
    <section class="card" aria-labelledby="diary-title">
      <h2 id="diary-title">Diary</h2>
      <p>How far it went on single days: with a week of them the plan knows by how much a day differs from the routine.</p>
      <p><a class="button" href=${`/cars/${vehicleId}/diary`}>Enter miles</a></p>
    </section>
    <section class="card" aria-labelledby="journeys-title">
      <h2 id="journeys-title">Journeys on dates</h2>
      <${Loaded} of=${home} lines=${2} size="line">${(/** @type {import("../../api/types.d.ts").Household} */ { zone }) =>
        html`<${Journeys} vehicleId=${vehicleId} zone=${zone} />`}</${Loaded}>
    </section>
  </${Page}>`;
}
