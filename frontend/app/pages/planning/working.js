/** The working of the whole plan, on a page of its own for reading and printing. */
import { html } from "htm/preact";
import { Page } from "../../components/page.js";
import { PlanWorkingSteps } from "./plan_working_steps.js";

/** Every step that led to the plan. */
export function WorkingPage() {
  return html`<${Page} title="How your plan is worked out" lead="Each step shows what went in, the rule, and what came out.">
    <${PlanWorkingSteps} />
    <p><a href="/today">Back to today</a></p>
  </${Page}>`;
}
