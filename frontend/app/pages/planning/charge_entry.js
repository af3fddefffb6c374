/**
 * The car's charge now, entered in a moment; then the plan is followed until it takes the entry into account.
 * "Working out the new plan" ends when the plan is current again, or honestly says that it takes longer.
 */
import { html } from "htm/preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { getStateOfCharge, putStateOfCharge } from "../../api/households.js";
import { getPlan } from "../../api/planning.js";
import { Field } from "../../components/field.js";
import { ProblemNote } from "../../components/problem_note.js";
import { fieldFault } from "../../lib/problem.js";
import { settledPlan } from "../../lib/replanning.js";
import { say } from "../../state/notices.js";
import { useRepeat } from "../../state/repeat.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/types.d.ts").Plan} Plan */

const POLL_MS = 1_000;

/** @type {import("../../lib/form_values.js").FieldSpec} */
const PERCENT = { name: "percent", label: "Charge now", kind: "number", min: 0, max: 100, step: 1, isRequired: true, unit: "%" };

/**
 * @param {Plan} before the plan shown when the entry was sent
 * @param {(plan: Plan, etag: string | null) => void} onPlan
 * @returns {{ isWorking: boolean, start: () => void }}
 */
export function usePlanFollower(before, onPlan) {
  const [since, setSince] = useState(0);
  const polls = useRef(0);
  useRepeat(async () => {
    const { data, etag } = await getPlan(ownHouseholdId());
    polls.current += 1;
    const settled = settledPlan(before, data, polls.current);
    if (settled === "not_yet") return false;
    onPlan(data, etag);
    setSince(0);
    say(SETTLED_WORDS[settled]);
    return true;
  }, POLL_MS, since > 0);
  return {
    isWorking: since > 0,
    start: () => {
      polls.current = 0;
      setSince(Date.now());
    },
  };
}

const SETTLED_WORDS = {
  new: "The new plan is ready.",
  same: "The plan takes your entry into account; it stays as it was.",
  late: "The new plan takes longer than usual. The one shown is from before your entry.",
};

/**
 * @param {{ vehicle: import("../../api/types.d.ts").PlanVehicle, isWorking: boolean, onSaved: () => void }} props
 */
export function ChargeEntry({ vehicle, isWorking, onSaved }) {
  const [percent, setPercent] = useState("");
  const submission = useSubmission();
  const form = useRef(/** @type {HTMLFormElement | null} */ (null));
  useEffect(() => setPercent(""), [vehicle.vehicle_id]);
  const submit = async (/** @type {Event} */ event) => {
    event.preventDefault();
    const isSaved = await submission.run(async () => {
      const { etag } = await getStateOfCharge(ownHouseholdId(), vehicle.vehicle_id);
      await putStateOfCharge(ownHouseholdId(), vehicle.vehicle_id, Number(percent), etag);
    });
    if (isSaved) {
      setPercent("");
      onSaved();
    }
  };
  const fault = fieldFault(submission.problem, "percent");
  return html`
    <form class="charge-entry" ref=${form} onSubmit=${submit} aria-label=${`Charge of ${vehicle.label} now`}>
      ${!fault && html`<${ProblemNote} problem=${submission.problem} />`}
      <div class="charge-entry-row">
        <${Field} spec=${PERCENT} value=${percent} onInput=${setPercent} fault=${fault} />
        <button class="button" disabled=${submission.isBusy || isWorking}>${isWorking ? "Working…" : "Update the plan"}</button>
      </div>
    </form>
  `;
}
