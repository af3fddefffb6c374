/** One outlet's or lead's standing: the word, the amps, until when, why, what is missing, and the next step with its button. */
import { html } from "htm/preact";
import { ClearanceTag } from "../../../components/clearance_tag.js";
import { Details } from "../../../components/details.js";
import { Facts } from "../../../components/facts.js";
import { WorkingSteps } from "../../../components/working_steps.js";
import { isUsable } from "../../../lib/plan_words.js";
import { formatAmps } from "../../../lib/quantity.js";
import { datesInWords, formatFarInstant } from "../../../lib/record_dates.js";

/** @typedef {import("../../../lib/next_steps.js").NextStep} NextStep */

const capital = (/** @type {string} */ text) => text.charAt(0).toUpperCase() + text.slice(1);

/** @param {{ step: NextStep, isMain: boolean, label: string }} props */
function StepLink({ step, isMain, label }) {
  return html`<a class=${`button${isMain ? " button-main" : ""}`} href=${step.href}>${step.label}<span class="unseen">: ${label}</span></a>`;
}

/**
 * @param {{
 *   id: string,
 *   label: string,
 *   kind: string,
 *   standing: import("../../../api/types.d.ts").OutletClearance | import("../../../api/types.d.ts").LeadClearance,
 *   steps: NextStep[],
 *   zone: string,
 *   children?: unknown,
 * }} props
 */
export function StandingCard({ id, label, kind, standing, steps, zone, children }) {
  const { clearance, limit_a: limitA, valid_until: validUntil = null, evidence, missing, next_step: nextStep, working } = standing;
  const isOpen = isUsable(clearance);
  /** @type {[string, unknown][]} */
  const allowed = [["Current, at most", html`<strong>${formatAmps(limitA)}</strong>`]];
  if (validUntil) allowed.push(["Until", formatFarInstant(validUntil, zone)]);
  const why = evidence ? [...new Set(datesInWords(evidence).split("; "))].map(capital) : ["Nothing is recorded"];
  return html`<section class="card" aria-labelledby=${id}>
    <div class="card-head"><h2 class="card-title" id=${id}>${label}<span class="cell-note">${kind}</span></h2><${ClearanceTag} clearance=${clearance} /></div>
    ${isOpen && html`<${Facts} rows=${allowed} />`}
    <p class="list-title">Why</p><ul>${why.map((text) => html`<li key=${text}>${text}</li>`)}</ul>
    ${missing.length > 0 && html`<p class="list-title">What is missing</p><ul>${missing.map((text) => html`<li key=${text}>${capital(datesInWords(text))}</li>`)}</ul>`}
    ${nextStep && html`<p><strong>${isOpen ? "Next" : "Next step"}:</strong> ${datesInWords(nextStep)}</p>`}
    ${steps.length > 0 && html`<div class="form-actions">${steps.map((step, place) => html`<${StepLink} key=${step.kind} step=${step} label=${label}
      isMain=${place === 0 && !isOpen} />`)}</div>`}
    ${children}
    <${Details} summary="How this came about">${() => html`<${WorkingSteps} steps=${working} />`}</${Details}>
  </section>`;
}
