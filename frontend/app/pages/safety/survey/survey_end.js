/** The end of the survey: what is not known and will be asked of the electrician, the arithmetic, and the cautions. */
import { html } from "htm/preact";
import { useEffect, useRef } from "preact/hooks";
import { Cautions } from "../../../components/cautions.js";
import { Details } from "../../../components/details.js";
import { Later } from "../../../components/later.js";
import { stepTitle } from "../../../lib/survey_questions.js";
import { formatInstant } from "../../../lib/time.js";
import { ElectricianQuestions } from "../survey_summary.js";

/**
 * @param {{
 *   survey: import("../../../api/survey_types.d.ts").Survey,
 *   home: import("../../../api/types.d.ts").Household,
 *   hasMoved: boolean,
 *   onOpen: (place: number) => void,
 * }} props
 */
export function SurveyEnd({ survey, home, hasMoved, onOpen }) {
  const heading = useRef(/** @type {HTMLHeadingElement | null} */ (null));
  useEffect(() => {
    if (hasMoved) heading.current?.focus();
  }, []);
  const missing = survey.steps.filter((step) => !step.is_complete).length;
  return html`<h2 ref=${heading} tabindex="-1">${missing === 0 ? "Thank you, that is all" : "Where the survey stands"}</h2>
    ${missing > 0 && html`<div class="note note-warn"><p>${missing === 1 ? "One step has" : `${missing} steps have`} not been saved yet.</p></div>`}
    <section class="card" aria-labelledby="survey-steps"><h3 id="survey-steps">Your answers</h3>
      <ul class="row-list">${survey.steps.map((step, place) => html`<li key=${step.step + step.item_id} class="row-item">
        <div><p><strong>${stepTitle(step)}</strong></p><p class="small">${step.saved_at ? `Saved ${formatInstant(step.saved_at, home.zone)}` : "Not saved yet"}</p></div>
        <button type="button" class="button button-quiet" onClick=${() => onOpen(place)}>${step.is_complete ? "Change" : "Answer"}<span class="unseen"> ${stepTitle(step)}</span></button>
      </li>`)}</ul></section>
    <section class="card" aria-labelledby="survey-questions"><h3 id="survey-questions">What the electrician will be asked</h3>
      <${ElectricianQuestions} questions=${survey.electrician_questions} /></section>
    ${home.circuits.map((circuit) => html`<section key=${circuit.id} class="card" aria-label=${`Circuit: ${circuit.label}`}><h3>${circuit.label}</h3>
      <${Details} summary="What it may carry, and how this came about">${() => html`<${Later} props=${{ householdId: home.id, circuitId: circuit.id }}
        load=${() => import("../circuit_arithmetic.js").then((part) => part.CircuitArithmetic)} />`}</${Details}></section>`)}
    <${Cautions} names=${["advice", "do_not_open", "consent", "not_known"]} />
    <p><a class="button button-main" href="/outlets">Go to your outlets</a></p>`;
}
