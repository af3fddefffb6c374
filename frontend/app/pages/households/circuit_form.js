/** A circuit, new or changed: its name and its runs in order from the origin. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { addPart, getPart, putCircuit } from "../../api/households.js";
import { Field } from "../../components/field.js";
import { Loaded } from "../../components/loaded.js";
import { ProblemNote } from "../../components/problem_note.js";
import { differs } from "../../lib/form_values.js";
import { fieldFault } from "../../lib/problem.js";
import { runAnswer } from "../../lib/survey_questions.js";
import { useEntries } from "../../state/entries.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { useSubmission } from "../../state/submission.js";
import { useUnsavedGuard } from "../../state/unsaved.js";
import { RunsEditor } from "../safety/survey/runs_editor.js";

/** @typedef {{ label: string, runs: Record<string, any>[] }} Entries */

/** @type {import("../../lib/form_values.js").FieldSpec} */
const LABEL = { name: "label", label: "Name", kind: "text", isRequired: true, hint: "Such as Garage radial." };

/**
 * @param {{
 *   start: Entries,
 *   submission: import("../../state/submission.js").Submission,
 *   onSave: (entries: Entries) => unknown,
 *   onCancel: () => void,
 * }} props
 */
function Form({ start, submission, onSave, onCancel }) {
  const [entries, setEntries] = useEntries(start);
  useUnsavedGuard(!submission.isBusy && differs(entries, start));
  const faultOf = (/** @type {string} */ path) => fieldFault(submission.problem, path);
  const save = (/** @type {Event} */ event) => {
    event.preventDefault();
    onSave({ label: entries.label, runs: entries.runs.map(runAnswer) });
  };
  return html`<form class="form" onSubmit=${save}>
    <${ProblemNote} problem=${submission.problem} takesFocus />
    <${Field} spec=${LABEL} value=${entries.label} fault=${faultOf("label")} onInput=${(/** @type {string} */ label) => setEntries((old) => ({ ...old, label }))} />
    <${RunsEditor} runs=${entries.runs} hasSurroundings faultOf=${(/** @type {string} */ path) => faultOf(`runs.${path}`)}
      onChange=${(/** @type {Record<string, any>[]} */ runs) => setEntries((old) => ({ ...old, runs }))} />
    <div class="form-actions"><button class="button button-main" disabled=${submission.isBusy}>${submission.isBusy ? "Saving…" : "Save circuit"}</button>
      <button type="button" class="button" onClick=${onCancel}>Cancel</button></div>
  </form>`;
}

/** @param {{ householdId: string, circuitId: string, onSaved: () => void, onCancel: () => void }} props */
export function CircuitEdit({ householdId, circuitId, onSaved, onCancel }) {
  const stored = useResource((reading) => getPart(householdId, "circuits", circuitId, reading), [circuitId]);
  const submission = useSubmission({ onStale: stored.reload });
  const save = (/** @type {Entries} */ entries) => submission.run(async () => {
    await putCircuit(householdId, circuitId, entries, stored.etag);
    say("Circuit saved; the plan is being worked out anew.");
    onSaved();
  });
  return html`<div class="inset"><${Loaded} of=${stored} lines=${3} size="line">${(/** @type {Entries} */ { label, runs }) => html`
    <${Form} start=${{ label, runs }} submission=${submission} onSave=${save} onCancel=${onCancel} />`}</${Loaded}></div>`;
}

/** @param {{ householdId: string, onChange: () => void }} props */
export function CircuitAdd({ householdId, onChange }) {
  const [isOpen, setOpen] = useState(false);
  const submission = useSubmission();
  const save = (/** @type {Entries} */ entries) => submission.run(async (key) => {
    await addPart(householdId, "circuits", entries, key);
    setOpen(false);
    say("Circuit added. Name it at the outlets it feeds.");
    onChange();
  });
  if (!isOpen) return html`<button type="button" class="button" onClick=${() => setOpen(true)}>Add a circuit</button>`;
  return html`<div class="inset"><h3>Add a circuit</h3><${Form} start=${{ label: "", runs: [] }} submission=${submission} onSave=${save} onCancel=${() => setOpen(false)} /></div>`;
}
