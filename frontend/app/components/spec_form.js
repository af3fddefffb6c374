/**
 * A form made from a list of field descriptions: guarded while unsaved, faults beside their fields, busy while sent.
 * The page gives the values it starts with and does the sending.
 */
import { html } from "htm/preact";
import { differs } from "../lib/form_values.js";
import { fieldFault, fieldWords } from "../lib/problem.js";
import { useEntries } from "../state/entries.js";
import { useUnsavedGuard } from "../state/unsaved.js";
import { Field } from "./field.js";
import { ProblemNote } from "./problem_note.js";
import { TickGroup } from "./tick_group.js";

/** @typedef {import("../lib/form_values.js").FieldSpec} FieldSpec */
/** @typedef {import("../lib/form_values.js").FormValues} FormValues */

/**
 * @param {{
 *   fields: FieldSpec[],
 *   start: FormValues,
 *   action: string,
 *   submission: import("../state/submission.js").Submission,
 *   onSubmit: (values: FormValues) => unknown,
 *   onCancel?: () => void,
 *   faultFields?: Record<string, string>,
 *   isGuarded?: boolean,
 *   children?: unknown,
 * }} props faultFields: where the service names a field otherwise than the form does
 */
export function SpecForm({ fields, start, action, submission, onSubmit, onCancel, faultFields = {}, isGuarded = true, children }) {
  const [values, setValues] = useEntries(start);
  useUnsavedGuard(isGuarded && !submission.isBusy && differs(values, start));
  const faultOf = (/** @type {string} */ name) => {
    const aliases = Object.keys(faultFields).filter((alias) => faultFields[alias] === name);
    const list = fields.find((field) => field.name === name)?.kind === "ticks" ? (submission.problem?.errors ?? []).map(({ field }) => field).filter((field) => field.startsWith(`${name}.`)) : [];
    return [name, ...aliases, ...list].map((field) => fieldFault(submission.problem, field)).filter(Boolean).join(" ");
  };
  const labelOf = (/** @type {string} */ field) => fields.find(({ name }) => name === (faultFields[field] ?? field))?.label ?? fieldWords(field);
  const submit = (/** @type {Event} */ event) => {
    event.preventDefault();
    onSubmit(values);
  };
  return html`
    <form class="form" onSubmit=${submit}>
      <${ProblemNote} problem=${submission.problem} takesFocus labelOf=${labelOf} />
      <div class="form-fields">
        ${fields.map((spec) => html`<${spec.kind === "ticks" ? TickGroup : Field} key=${spec.name} spec=${spec} value=${values[spec.name] ?? ""} fault=${faultOf(spec.name)}
          onInput=${(/** @type {string | boolean} */ value) => setValues((old) => ({ ...old, [spec.name]: value }))} />`)}
      </div>
      ${children}
      <div class="form-actions">
        <button class="button button-main" disabled=${submission.isBusy}>${submission.isBusy ? "Saving…" : action}</button>
        ${onCancel && html`<button type="button" class="button" onClick=${onCancel}>Cancel</button>`}
      </div>
    </form>
  `;
}
