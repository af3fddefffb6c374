/** Where the headline leads while charging is held: to what to do now, or to the first step towards charging again. */
import { html } from "htm/preact";
import { firstStep } from "../../lib/next_steps.js";
import { keptStopAnswer } from "../../lib/stop_answer.js";

const STANDING = { label: "Is it safe to use?", href: "/outlets" };

/**
 * @param {boolean} isStopped
 * @param {import("../../api/types.d.ts").Plan} plan
 * @param {import("../../api/types.d.ts").Household | null} home
 */
function stepFrom(isStopped, plan, home) {
  if (!isStopped) return firstStep(home);
  return keptStopAnswer(plan.household_id) ? { label: "What to do now", href: "/stop-answer" } : STANDING;
}

/**
 * @param {{ isStopped: boolean, plan: import("../../api/types.d.ts").Plan, home: import("../../api/types.d.ts").Household | null }} props
 */
export function HeadlineStep({ isStopped, plan, home }) {
  const step = stepFrom(isStopped, plan, home);
  return html`<p class="headline-below headline-step"><a class="button" href=${step.href}>${step.label}</a>
    ${step.href !== STANDING.href && html`<a href=${STANDING.href}>${STANDING.label}</a>`}</p>`;
}
