/** Type what a certificate says of one outlet: a claim, which sets a recheck and stops on a bad code, and never clears. */
import { html } from "htm/preact";
import { useId, useRef, useState } from "preact/hooks";
import { newKey } from "../../api/client.js";
import { uploadFile } from "../../api/files.js";
import { recordInspection } from "../../api/safety.js";
import { Field } from "../../components/field.js";
import { SpecForm } from "../../components/spec_form.js";
import { bodyOf, startValues } from "../../lib/form_values.js";
import { fieldFault } from "../../lib/problem.js";
import { appendIn, removeIn, setIn } from "../../lib/set_in.js";
import { CODE_WORDS, choices } from "../../lib/wording.js";
import { say } from "../../state/notices.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/types.d.ts").Household} Household */
/** @typedef {import("../../api/types.d.ts").Observation} Observation */
/** @typedef {import("../../lib/form_values.js").FieldSpec} FieldSpec */

/** @type {FieldSpec[]} */
const OBSERVATION_FIELDS = [
  { name: "code", label: "Code", kind: "select", options: choices(CODE_WORDS) },
  { name: "note", label: "What was observed", kind: "text", isRequired: true },
  { name: "closed_on", label: "Closed on", kind: "date", isNullable: true },
];

/** @param {Household} home @returns {FieldSpec[]} */
function inspectionFields(home) {
  return [
    { name: "outlet_id", label: "Outlet", kind: "select", options: home.outlets.map(({ id, label }) => ({ value: id, label })) },
    { name: "inspected_on", label: "Inspected on", kind: "date", isRequired: true },
    { name: "next_due_on", label: "Next due on", kind: "date", isRequired: true },
    { name: "certificate_number", label: "Certificate number", kind: "text", isRequired: true },
    { name: "electrician", label: "Electrician", kind: "text", isRequired: true },
  ];
}

/**
 * @param {{
 *   observations: Observation[],
 *   problem: import("../../lib/problem.js").Problem | null,
 *   onChange: (change: (old: Observation[]) => Observation[]) => void,
 * }} props
 */
function Observations({ observations, problem, onChange }) {
  return html`<fieldset class="observations"><legend>Observations</legend>
    ${observations.map((observation, place) => html`<div key=${place} class="observation" role="group" aria-label=${`Observation ${place + 1}`}>
      ${OBSERVATION_FIELDS.map((spec) => html`<${Field} key=${spec.name} spec=${spec}
        value=${/** @type {Record<string, string | null>} */ (/** @type {unknown} */ (observation))[spec.name] ?? ""}
        fault=${fieldFault(problem, `observations.${place}.${spec.name}`)}
        onInput=${(/** @type {string} */ value) => onChange((old) => setIn(old, `${place}.${spec.name}`, spec.isNullable && value === "" ? null : value))} />`)}
      <button type="button" class="button button-quiet" onClick=${() => onChange((old) => removeIn(old, String(place)))}>Remove<span class="unseen"> observation ${place + 1}</span></button>
    </div>`)}
    <button type="button" class="button" onClick=${() => onChange((old) => appendIn(old, "", { code: "C2", note: "", closed_on: null }))}>Add an observation</button>
  </fieldset>`;
}

/** @param {{ onChoose: (file: File | null) => void }} props */
function DocumentField({ onChoose }) {
  const id = useId();
  const choose = (/** @type {{ currentTarget: HTMLInputElement }} */ event) => onChoose(event.currentTarget.files?.[0] ?? null);
  return html`<div class="field"><label for=${id}>Document, if you have it</label>
    <p class="hint" id=${`${id}-hint`}>PDF, JPEG or PNG, at most 10 MiB.</p>
    <input id=${id} type="file" accept="application/pdf,image/jpeg,image/png" aria-describedby=${`${id}-hint`} onChange=${choose} /></div>`;
}

/** @param {{ home: Household, onSaved: () => void, onCancel: () => void }} props */
export function InspectionForm({ home, onSaved, onCancel }) {
  const [observations, setObservations] = useState(/** @type {Observation[]} */ ([]));
  const [file, setFile] = useState(/** @type {File | null} */ (null));
  const uploadKey = useRef(newKey());
  const submission = useSubmission();
  const fields = inspectionFields(home);
  const choose = (/** @type {File | null} */ chosen) => {
    uploadKey.current = newKey();
    setFile(chosen);
  };
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async (key) => {
    const stored = file ? { file_id: (await uploadFile(home.id, "certificate", file, uploadKey.current)).data.id } : {};
    const body = { ...bodyOf(fields, values), ...stored, observations };
    await recordInspection(home.id, /** @type {any} */ (body), key);
    say("Recorded as a claim. A recheck is set; the outlet's standing changes only where a code stops it.");
    onSaved();
  });
  return html`<div class="inset"><h3>Type what a certificate says</h3>
    <p><strong>This is a claim.</strong> It sets a recheck, and an open C1, C2 or FI stops the outlet at once. It does not clear the outlet: for
      that, an electrician records the result through a link, with readings and document.</p>
    <${SpecForm} fields=${fields} start=${startValues(fields)} action="Record the claim" submission=${submission} onSubmit=${save} onCancel=${onCancel}>
      <${Observations} observations=${observations} problem=${submission.problem} onChange=${setObservations} />
      <${DocumentField} onChoose=${choose} />
    </${SpecForm}></div>`;
}
