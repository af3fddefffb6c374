/** The everyday ceiling and the reserve of a car, and what else a plan asks of its charging. */
import { html } from "htm/preact";
import { changePart } from "../../api/households.js";
import { SpecForm } from "../../components/spec_form.js";
import { bodyOf, startValues } from "../../lib/form_values.js";
import { chargingFields } from "../../lib/home_fields.js";
import { say } from "../../state/notices.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/types.d.ts").Vehicle} Vehicle */

/** @type {import("../../lib/form_values.js").FieldSpec[]} */
const LIMITS = [
  {
    name: "ceiling_percent", label: "Everyday ceiling", kind: "number", unit: "%", min: 1, max: 100, step: 1, isRequired: true,
    hint: "Charging stops here, unless a journey needs more.",
  },
  {
    name: "reserve_percent", label: "Reserve", kind: "number", unit: "%", min: 0, max: 100, step: 1, isRequired: true,
    hint: "What should be left in the battery after every journey.",
  },
];

/**
 * @param {{
 *   vehicle: import("../../state/resource.js").Resource<Vehicle>,
 *   outlets: import("../../api/types.d.ts").Household["outlets"],
 * }} props
 */
export function CarLimits({ vehicle, outlets }) {
  const fields = [...LIMITS, ...chargingFields(outlets, vehicle.data?.outlet_id)];
  const submission = useSubmission({ onStale: vehicle.reload });
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async () => {
    const id = /** @type {Vehicle} */ (vehicle.data).id;
    const { data, etag } = await changePart(ownHouseholdId(), "vehicles", id, bodyOf(fields, values), vehicle.etag);
    vehicle.put(data, etag);
    say("Limits saved. The plan is being worked out anew.");
  });
  return html`<${SpecForm} fields=${fields} start=${startValues(fields, vehicle.data)} action="Save limits"
    submission=${submission} onSubmit=${save} />`;
}
