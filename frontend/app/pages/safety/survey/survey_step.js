/** One step of the survey: its questions, its cautions, and saving it. */
import { html } from "htm/preact";
import { useEffect, useRef } from "preact/hooks";
import { Cautions } from "../../../components/cautions.js";
import { ChoiceGroup } from "../../../components/choice_group.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { differs } from "../../../lib/form_values.js";
import { fieldFault } from "../../../lib/problem.js";
import { STEPS, answersOf, entriesOf, stepTitle } from "../../../lib/survey_questions.js";
import { formatInstant } from "../../../lib/time.js";
import { useEntries } from "../../../state/entries.js";
import { useUnsavedGuard } from "../../../state/unsaved.js";
import { ConsentEntry } from "./consent_entry.js";
import { KnownEntry } from "./known_entry.js";
import { LoadsEntry } from "./loads_entry.js";
import { PhotoEntry } from "./photo_entry.js";
import { RunsEditor } from "./runs_editor.js";

/** @typedef {import("../../../lib/survey_questions.js").Question} Question */

/**
 * @param {{ householdId: string, question: Question, value: any, onInput: (value: any) => void, faultOf: (path: string) => string }} props
 */
function Asked({ householdId, question, value, onInput, faultOf }) {
  const fault = faultOf(question.name);
  if (question.kind === "choice") return html`<${ChoiceGroup} spec=${{ ...question, kind: "select" }} value=${value} onInput=${onInput} fault=${fault} />`;
  if (question.kind === "loads") return html`<${LoadsEntry} question=${question} value=${value} onInput=${onInput} fault=${fault} />`;
  if (question.kind === "photos") return html`<${PhotoEntry} householdId=${householdId} purpose="photo" label=${question.label} hint=${question.hint} ids=${value} onChange=${onInput} fault=${fault} />`;
  if (question.kind === "consent") {
    return html`<${ConsentEntry} householdId=${householdId} question=${question} value=${value} onInput=${onInput} faultOf=${(/** @type {string} */ path) => faultOf(`${question.name}.${path}`)} />`;
  }
  if (question.kind === "runs") {
    return html`<div><h3>${question.label}</h3><${RunsEditor} runs=${value} onChange=${onInput} faultOf=${(/** @type {string} */ path) => faultOf(`runs.${path}`)} /></div>`;
  }
  return html`<${KnownEntry} question=${question} value=${value} onInput=${onInput} fault=${fault} />`;
}

/**
 * @param {{
 *   householdId: string,
 *   zone: string,
 *   step: import("../../../api/survey_types.d.ts").SurveyStep,
 *   hasMoved: boolean,
 *   submission: import("../../../state/submission.js").Submission,
 *   onSave: (answers: Record<string, unknown>) => unknown,
 *   onBack: (() => void) | null,
 *   children?: unknown,
 * }} props hasMoved: it was reached from another step, so its heading takes the focus
 */
export function SurveyStep({ householdId, zone, step, hasMoved, submission, onSave, onBack, children }) {
  const { lead, cautions, questions } = STEPS[step.step];
  const start = entriesOf(questions, step.answers);
  const [values, setValues] = useEntries(start);
  const heading = useRef(/** @type {HTMLHeadingElement | null} */ (null));
  useUnsavedGuard(!submission.isBusy && differs(values, start));
  useEffect(() => {
    if (hasMoved) heading.current?.focus();
  }, []);
  const faultOf = (/** @type {string} */ name) => fieldFault(submission.problem, `answers.${name}`);
  const labelOf = (/** @type {string} */ field) => questions.find(({ name }) => field === `answers.${name}`)?.label ?? "";
  const save = (/** @type {Event} */ event) => {
    event.preventDefault();
    onSave(answersOf(questions, values, step.answers));
  };
  return html`<form class="form survey-form" onSubmit=${save} noValidate>
    <h2 ref=${heading} tabindex="-1">${stepTitle(step)}</h2>
    <p class="lead">${lead}</p>
    ${cautions.length > 0 && html`<${Cautions} names=${cautions} />`}
    ${children}
    <${ProblemNote} problem=${submission.problem} takesFocus labelOf=${labelOf} />
    ${questions.filter(({ when }) => !when || when(values)).map((question) => html`<${Asked} key=${question.name} householdId=${householdId} question=${question} value=${values[question.name]}
      faultOf=${faultOf} onInput=${(/** @type {any} */ value) => setValues((old) => ({ ...old, [question.name]: value }))} />`)}
    <p class="small">${step.saved_at ? `Saved ${formatInstant(step.saved_at, zone)}. Saving again replaces these answers; the earlier ones are kept.` : "Not saved yet."}</p>
    <div class="form-actions">
      <button class="button button-main" disabled=${submission.isBusy}>${submission.isBusy ? "Saving…" : "Save and go on"}</button>
      ${onBack && html`<button type="button" class="button" onClick=${onBack}>Back</button>`}
    </div>
  </form>`;
}
