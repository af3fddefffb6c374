/** The plan of each car for its charging point, in the open format OCPP. */
import { html } from "htm/preact";
import { profileAddress } from "../../../api/charging.js";
import { ownHouseholdId } from "../../../state/session.js";

/** @typedef {import("../../../api/types.d.ts").Household} Household */

/** @type {("1.6" | "2.0.1")[]} */
const VERSIONS = ["1.6", "2.0.1"];

/** @param {{ home: Household }} props */
export function ProfileLinks({ home }) {
  const points = new Map(home.outlets.filter(({ kind }) => kind === "charging_point").map((outlet) => [outlet.id, outlet]));
  const cars = home.vehicles.filter(({ outlet_id: id }) => id !== null && points.has(id));
  return html`<section class="card" aria-labelledby="profiles">
    <h2 id="profiles">For the charging point</h2>
    ${cars.length === 0
      ? html`<p>No car here charges at a charging point: a 13 A socket follows no list of times.</p>`
      : html`<p>The plan in the open format OCPP, as limits in amperes. Outside its charging times the limit is 0, and it is never above what the outlet may give now.
            Without a usable outlet or a plan that is up to date there is no file.</p>
          <ul class="plain-list">${cars.map((car) => html`<li key=${car.id}>${car.label}, ${points.get(car.outlet_id ?? "")?.label}:
            ${VERSIONS.map((version) => html` <a key=${version} class="nowrap" href=${profileAddress(ownHouseholdId(), car.id, version)} download=${`charging-profile-ocpp-${version}.json`}>OCPP ${version}<span class="unseen"> for ${car.label}</span></a>`)}</li>`)}</ul>
          <p class="small">It holds until another is set: load it again when the plan changes.</p>`}
  </section>`;
}
