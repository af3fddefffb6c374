/** The everyday ceiling and the reserve of a car. */
import { html } from "htm/preact";
import { changePart } from "../../api/households.js";
import { SpecForm } from "../../components/spec_form.js";
import { bodyOf, startValues } from "../../lib/form_values.js";
import { say } from "../../state/notices.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/types.d.ts").Vehicle} Vehicle */

/** @type {import("../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [
  {
    name: "ceiling_percent", label: "Everyday ceiling", kind: "number", unit: "%", min: 1, max: 100, step: 1, isRequired: true,
    hint: "Charging stops here, unless a journey needs more.",
  },
  {
    name: "reserve_percent", label: "Reserve", kind: "number", unit: "%", min: 0, max: 100, step: 1, isRequired: true,
    hint: "What should be left in the battery after every journey.",
  },
];

/** @param {{ vehicle: import("../../state/resource.js").Resource<Vehicle> }} props */
export function CarLimits({ vehicle }) {
  const submission = useSubmission({ onStale: vehicle.reload });
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async () => {
    const id = /** @type {Vehicle} */ (vehicle.data).id;
    const { data, etag } = await changePart(ownHouseholdId(), "vehicles", id, bodyOf(FIELDS, values), vehicle.etag);
    vehicle.put(data, etag);
    say("Limits saved. The plan is being worked out anew.");
  });
  return html`<${SpecForm} fields=${FIELDS} start=${startValues(FIELDS, vehicle.data)} action="Save limits"
    submission=${submission} onSubmit=${save} />`;
}
