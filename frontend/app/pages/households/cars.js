/** The member's cars, each with the way to its limits, routine and journeys. */
import { html } from "htm/preact";
import { listVehicles } from "../../api/households.js";
import { Empty } from "../../components/empty.js";
import { Facts } from "../../components/facts.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { formatEnergy } from "../../lib/quantity.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";

/** @typedef {import("../../api/types.d.ts").Vehicle} Vehicle */

/** @param {{ vehicle: Vehicle }} props */
function CarCard({ vehicle }) {
  const id = `car-${vehicle.id}`;
  return html`<section class="card" aria-labelledby=${id}>
    <h2 id=${id}>${vehicle.label}</h2>
    <${Facts} rows=${[
      ["Everyday ceiling", `${vehicle.ceiling_percent}%`],
      ["Reserve", `${vehicle.reserve_percent}%`],
      ["Usable battery", formatEnergy(vehicle.battery_kwh)],
      ["Miles per kWh", String(vehicle.miles_per_kwh)],
    ]} />
    <p class="form-actions"><a class="button" href=${`/cars/${vehicle.id}`}>Limits, routine and journeys<span class="unseen"> of ${vehicle.label}</span></a>
      <a class="button" href=${`/cars/${vehicle.id}/diary`}>Enter miles<span class="unseen"> of ${vehicle.label}</span></a></p>
  </section>`;
}

/** Cars. */
export function CarsPage() {
  const householdId = ownHouseholdId();
  const cars = useResource((reading) => listVehicles(householdId, reading), [householdId]);
  return html`<${Page} title="Your cars" class="page-member" lead="The plan follows when each car leaves and how far it goes.">
    <${Loaded} of=${cars} lines=${2} size="card">${(/** @type {{ items: Vehicle[] }} */ { items }) =>
      items.length === 0
        ? html`<${Empty} title="No car has been entered for this home"><p>Ask your scheme's administrator to enter it.</p></${Empty}>`
        : items.map((vehicle) => html`<${CarCard} key=${vehicle.id} vehicle=${vehicle} />`)
    }</${Loaded}>
    <p><a href="/habits">Evenings at home</a>: when you swap cars, quiet hours, how sure the plan is to be.</p>
  </${Page}>`;
}
