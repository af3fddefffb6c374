/** One consent: the answer, its day where there is one, and the letter. */
import { html } from "htm/preact";
import { ChoiceGroup } from "../../../components/choice_group.js";
import { Field } from "../../../components/field.js";
import { UNKNOWN } from "../../../lib/survey_questions.js";
import { PhotoEntry } from "./photo_entry.js";

const OPTIONS = [{ value: "yes", label: "Agreed" }, { value: "no", label: "Refused" }, { value: "not_needed", label: "Not needed" }, UNKNOWN];

/** @typedef {{ answer: string, given_on: string | null, file_id: string | null }} Value */

/**
 * @param {{
 *   householdId: string,
 *   question: import("../../../lib/survey_questions.js").Question,
 *   value: Value,
 *   onInput: (value: Value) => void,
 *   faultOf: (path: string) => string,
 * }} props
 */
export function ConsentEntry({ householdId, question, value, onInput, faultOf }) {
  const isAnswered = value.answer === "yes" || value.answer === "no";
  const choose = (/** @type {string} */ answer) => onInput({ ...value, answer, given_on: answer === "yes" || answer === "no" ? value.given_on : null });
  return html`<div class="consent-entry">
    <${ChoiceGroup} spec=${{ ...question, kind: "select", options: OPTIONS }} value=${value.answer} onInput=${choose} fault=${faultOf("answer")} />
    ${isAnswered && html`<${Field} spec=${{ name: `${question.name}_on`, label: "On which day?", kind: "date", hint: "Leave it empty where you do not know." }} value=${value.given_on ?? ""}
        fault=${faultOf("given_on")} onInput=${(/** @type {string} */ day) => onInput({ ...value, given_on: day || null })} />`}
    ${(isAnswered || value.file_id) && html`<${PhotoEntry} householdId=${householdId} purpose="consent" label=${`Letter: ${question.label.toLowerCase()}`} ids=${value.file_id ? [value.file_id] : []} most=${1}
        onChange=${(/** @type {string[]} */ ids) => onInput({ ...value, file_id: ids[0] ?? null })} fault=${faultOf("file_id")} />`}
  </div>`;
}
