/** The trail behind a number, step by step: what went in, the rule, its source, what came out. */
import { html } from "htm/preact";
import { datesInWords } from "../lib/record_dates.js";
import { inputName } from "../lib/plan_words.js";

/** @typedef {import("../api/types.d.ts").WorkingStep} WorkingStep */

/** @param {{ step: WorkingStep }} props */
function Step({ step }) {
  const inputs = Object.entries(step.inputs);
  return html`<li class="working-step">
    <p class="working-what"><strong>${step.what}</strong>: ${datesInWords(step.result)}</p>
    ${inputs.length > 0 &&
    html`<dl class="working-inputs">${inputs.map(([name, value]) => html`<div key=${name}><dt>${inputName(name)}</dt><dd>${datesInWords(value)}</dd></div>`)}</dl>`}
    <p class="small">${step.rule}${step.source && html` <span class="source">Source: ${step.source}</span>`}</p>
  </li>`;
}

/** @param {{ steps: WorkingStep[] }} props */
export function WorkingSteps({ steps }) {
  if (steps.length === 0) return html`<p>No working has been kept for this.</p>`;
  return html`<ol class="working">${steps.map((step, place) => html`<${Step} key=${place} step=${step} />`)}</ol>`;
}
