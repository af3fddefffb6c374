/** Note the day on which what an inspection had observed was put right. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { closeObservation } from "../../api/safety.js";
import { SpecForm } from "../../components/spec_form.js";
import { localDay } from "../../lib/time.js";
import { say } from "../../state/notices.js";
import { useSubmission } from "../../state/submission.js";

/** @type {import("../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [{ name: "closed_on", label: "Put right on", kind: "date", isRequired: true }];

/**
 * @param {{
 *   home: import("../../api/types.d.ts").Household,
 *   inspectionId: string,
 *   position: number,
 *   name: string,
 *   onChange: () => void,
 * }} props
 */
export function ClosureForm({ home, inspectionId, position, name, onChange }) {
  const [isOpen, setOpen] = useState(false);
  const submission = useSubmission();
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async (key) => {
    await closeObservation(home.id, inspectionId, position, String(values.closed_on), key);
    say("Observation noted as put right.");
    onChange();
  });
  if (!isOpen) {
    return html`<button type="button" class="button button-quiet" onClick=${() => setOpen(true)}>Note as put right<span class="unseen">: ${name}</span></button>`;
  }
  return html`<div class="inset"><${SpecForm} fields=${FIELDS} start=${{ closed_on: localDay(Date.now(), home.zone) }} action="Note as put right"
    isGuarded=${false} submission=${submission} onSubmit=${save} onCancel=${() => setOpen(false)} /></div>`;
}
