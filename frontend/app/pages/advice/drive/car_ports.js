/** Each car's charging port and cable: both are needed before anything can be said of its reach. */
import { html } from "htm/preact";
import { changePart, getVehicle } from "../../../api/households.js";
import { Empty } from "../../../components/empty.js";
import { Field } from "../../../components/field.js";
import { Loaded } from "../../../components/loaded.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { metresWords } from "../../../lib/drive_words.js";
import { PORT_FIELD } from "../../../lib/home_fields.js";
import { say } from "../../../state/notices.js";
import { useResource } from "../../../state/resource.js";
import { ownHouseholdId } from "../../../state/session.js";
import { useSubmission } from "../../../state/submission.js";

/** @typedef {import("../../../api/types.d.ts").Household} Household */
/** @typedef {import("../../../api/types.d.ts").Vehicle} Vehicle */

/**
 * How long the cable of a car is, in words.
 * @param {Household} home
 * @param {Vehicle} car
 */
function cableWords(home, car) {
  const lead = home.leads.find(({ id }) => id === car.lead_id);
  if (lead) return `Cable: ${lead.label}, ${lead.length_m === null ? "length not recorded" : metresWords(lead.length_m)}.`;
  const outlet = home.outlets.find(({ id }) => id === car.outlet_id);
  return outlet?.is_tethered ? "Cable: the charging point's own, taken as 5 m (assumed)." : "Cable: not known. Give one to reckon with below.";
}

/** @param {{ home: Household, carId: string }} props */
function CarPort({ home, carId }) {
  const vehicle = useResource((reading) => getVehicle(ownHouseholdId(), carId, reading), [carId]);
  const submission = useSubmission({ onStale: vehicle.reload });
  const save = (/** @type {string} */ port) => submission.run(async () => {
    const { data, etag } = await changePart(ownHouseholdId(), "vehicles", carId, { port }, vehicle.etag);
    vehicle.put(data, etag);
    say(`${data.label}: charging port saved.`);
  });
  return html`<${Loaded} of=${vehicle} lines=${1} size="line">${(/** @type {Vehicle} */ car) => html`<div class="car-port">
    <${ProblemNote} problem=${submission.problem} takesFocus />
    <${Field} spec=${{ ...PORT_FIELD, label: `Charging port of ${car.label}`, hint: undefined }} value=${car.port} onInput=${save} />
    <p class="small">${cableWords(home, car)}</p>
  </div>`}</${Loaded}>`;
}

/** @param {{ home: Household }} props */
export function CarPorts({ home }) {
  if (home.vehicles.length === 0) return html`<${Empty} title="No car is entered yet"><p><a href="/cars">Enter your car</a> first.</p></${Empty}>`;
  return html`<p class="hint">Left and right are those of somebody in the driver's seat.</p>
    <div class="car-ports">${home.vehicles.map(({ id }) => html`<${CarPort} key=${id} home=${home} carId=${id} />`)}</div>`;
}
