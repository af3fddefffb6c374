/** The car's charge now, and entering it anew in a moment. */
import { html } from "htm/preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { getStateOfCharge, putStateOfCharge } from "../../api/households.js";
import { Field } from "../../components/field.js";
import { ProblemNote } from "../../components/problem_note.js";
import { chargeWords } from "../../lib/charge_words.js";
import { asProblem, fieldFault } from "../../lib/problem.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/types.d.ts").Plan} Plan */
/** @typedef {import("../../api/types.d.ts").StateOfCharge} StateOfCharge */

/** @type {import("../../lib/form_values.js").FieldSpec} */
const PERCENT = { name: "percent", label: "Charge now", kind: "number", min: 0, max: 100, step: 1, isRequired: true, unit: "%" };

/**
 * @param {{ vehicle: import("../../api/types.d.ts").PlanVehicle, plan: Plan, nowMs: number, isWorking: boolean, onSaved: () => void }} props
 */
export function ChargeEntry({ vehicle, plan, nowMs, isWorking, onSaved }) {
  const [percent, setPercent] = useState("");
  const householdId = ownHouseholdId();
  const reading = useResource((request) => getStateOfCharge(householdId, vehicle.vehicle_id, request), [householdId, vehicle.vehicle_id]);
  const submission = useSubmission();
  const form = useRef(/** @type {HTMLFormElement | null} */ (null));
  useEffect(() => setPercent(""), [vehicle.vehicle_id]);
  const submit = async (/** @type {Event} */ event) => {
    event.preventDefault();
    let entered = /** @type {import("../../api/types.d.ts").Answer<StateOfCharge> | null} */ (null);
    const send = (/** @type {string | null} */ etag) => putStateOfCharge(householdId, vehicle.vehicle_id, Number(percent), etag);
    await submission.run(async () => {
      // What was read last is seldom out of date; where it is, what is entered now still stands.
      entered = await send(reading.etag).catch(async (thrown) => {
        if (![412, 428].includes(asProblem(thrown).status)) throw thrown;
        return send((await getStateOfCharge(householdId, vehicle.vehicle_id)).etag);
      });
    });
    if (entered) {
      setPercent("");
      reading.put(entered.data, entered.etag);
      onSaved();
    }
  };
  const fault = fieldFault(submission.problem, "percent");
  return html`
    <p class="small car-basis">${chargeWords(vehicle, reading.data, plan, nowMs)}</p>
    <form class="charge-entry" ref=${form} onSubmit=${submit} aria-label=${`Charge of ${vehicle.label} now`}>
      ${!fault && html`<${ProblemNote} problem=${submission.problem} />`}
      <div class="charge-entry-row">
        <${Field} spec=${PERCENT} value=${percent} onInput=${setPercent} fault=${fault} />
        <button class="button" disabled=${submission.isBusy || isWorking}>${isWorking ? "Working…" : "Update the plan"}</button>
      </div>
    </form>
  `;
}
