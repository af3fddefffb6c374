/** The cars of a home: what they are and where they charge. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { NEW_VEHICLE, vehicleFields } from "../../lib/home_fields.js";
import { formatAmps, formatEnergy } from "../../lib/quantity.js";
import { PartEdit } from "./part_edit.js";
import { PartForm } from "./part_form.js";

/** @typedef {import("../../api/types.d.ts").Household} Household */
/** @typedef {import("../../api/types.d.ts").Vehicle} Vehicle */

/**
 * @param {Household} home
 * @param {Vehicle} vehicle
 * @returns {string}
 */
export function vehicleWords(home, vehicle) {
  const outlet = home.outlets.find(({ id }) => id === vehicle.outlet_id)?.label ?? "no outlet";
  const lead = home.leads.find(({ id }) => id === vehicle.lead_id)?.label;
  return [
    `${formatEnergy(vehicle.battery_kwh)} usable`,
    `${vehicle.miles_per_kwh} miles per kWh`,
    `on-board ${formatAmps(vehicle.onboard_limit_a)}${vehicle.onboard_phases > 1 ? ` on ${vehicle.onboard_phases} phases` : ""}`,
    `ceiling ${vehicle.ceiling_percent}%, reserve ${vehicle.reserve_percent}%`,
    lead ? `${outlet} with ${lead}` : outlet,
  ].join(" · ");
}

/** @param {{ home: Household, onChange: () => void }} props */
export function HomeCars({ home, onChange }) {
  const [edited, setEdited] = useState("");
  const fields = vehicleFields(home);
  return html`<section id="cars" class="card" aria-labelledby="cars-title">
    <h2 id="cars-title">Cars</h2>
    ${home.vehicles.length === 0 && html`<p>No car is recorded.</p>`}
    <ul class="row-list">${home.vehicles.map((vehicle) => html`<li key=${vehicle.id} class="row-item">
      ${edited === vehicle.id
        ? html`<${PartEdit} householdId=${home.id} part="vehicles" partId=${vehicle.id} fields=${fields} done="Car saved; the plan is being worked out anew."
            onChange=${onChange} onCancel=${() => setEdited("")} />`
        : html`<div><p><strong>${vehicle.label}</strong></p><p class="small">${vehicleWords(home, vehicle)}</p></div>
            <button type="button" class="button button-quiet" onClick=${() => setEdited(vehicle.id)}>Change<span class="unseen"> ${vehicle.label}</span></button>`}
    </li>`)}</ul>
    <${PartForm} householdId=${home.id} part="vehicles" button="Add a car" fields=${fields} start=${NEW_VEHICLE}
      done="Car added. The member enters its routine." onChange=${onChange} />
  </section>`;
}
