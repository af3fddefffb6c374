/** "How this is worked out": the plan's working, fetched when it is opened. */
import { html } from "htm/preact";
import { Details } from "../../components/details.js";
import { Later } from "../../components/later.js";

const loadSteps = () => import("./plan_working_steps.js").then((part) => part.PlanWorkingSteps);

/** @param {{ summary?: string }} props */
export function PlanWorking({ summary = "How these numbers are worked out" }) {
  return html`<${Details} summary=${summary}>${() => html`<${Later} load=${loadSteps} />`}</${Details}>`;
}
