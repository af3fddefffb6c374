/** The steps of the plan's working. */
import { html } from "htm/preact";
import { getPlanWorking } from "../../api/planning.js";
import { Loaded } from "../../components/loaded.js";
import { WorkingSteps } from "../../components/working_steps.js";
import { ownHouseholdId } from "../../state/session.js";
import { useResource } from "../../state/resource.js";

/** The steps themselves. */
export function PlanWorkingSteps() {
  const working = useResource((reading) => getPlanWorking(ownHouseholdId(), reading), []);
  return html`<${Loaded} of=${working} lines=${3} size="line">${
    (/** @type {{ steps: import("../../api/types.d.ts").WorkingStep[] }} */ { steps }) => html`<${WorkingSteps} steps=${steps} />`
  }</${Loaded}>`;
}
