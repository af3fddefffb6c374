/** A form that adds one part to a home (outlet, car, contract and so on), behind a button. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { addPart } from "../../api/households.js";
import { SpecForm } from "../../components/spec_form.js";
import { bodyOf, startValues } from "../../lib/form_values.js";
import { say } from "../../state/notices.js";
import { useSubmission } from "../../state/submission.js";

/**
 * @param {{
 *   householdId: string,
 *   part: import("../../api/households.js").Part,
 *   button: string,
 *   fields: import("../../lib/form_values.js").FieldSpec[],
 *   start?: object,
 *   extra?: Record<string, unknown>,
 *   done: string,
 *   onChange: () => void,
 * }} props extra: what the service wants beside the fields
 */
export function PartForm({ householdId, part, button, fields, start = {}, extra = {}, done, onChange }) {
  const [isOpen, setOpen] = useState(false);
  const submission = useSubmission();
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async (key) => {
    await addPart(householdId, part, { ...bodyOf(fields, values), ...extra }, key);
    setOpen(false);
    say(done);
    onChange();
  });
  if (!isOpen) return html`<button type="button" class="button" onClick=${() => setOpen(true)}>${button}</button>`;
  return html`<div class="inset"><h3>${button}</h3>
    <${SpecForm} fields=${fields} start=${startValues(fields, start)} action="Save" submission=${submission} onSubmit=${save}
      onCancel=${() => setOpen(false)} /></div>`;
}
