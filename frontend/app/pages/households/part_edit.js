/** A form that changes one part of a home; reads it with its ETag first. */
import { html } from "htm/preact";
import { changePart, getPart } from "../../api/households.js";
import { Loaded } from "../../components/loaded.js";
import { SpecForm } from "../../components/spec_form.js";
import { bodyOf, startValues } from "../../lib/form_values.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { useSubmission } from "../../state/submission.js";

/**
 * @param {{
 *   householdId: string,
 *   part: import("../../api/households.js").Part,
 *   partId: string,
 *   fields: import("../../lib/form_values.js").FieldSpec[],
 *   done: string,
 *   onChange: () => void,
 *   onCancel: () => void,
 * }} props
 */
export function PartEdit({ householdId, part, partId, fields, done, onChange, onCancel }) {
  const stored = useResource((reading) => getPart(householdId, part, partId, reading), [partId]);
  const submission = useSubmission({ onStale: stored.reload });
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async () => {
    await changePart(householdId, part, partId, bodyOf(fields, values), stored.etag);
    say(done);
    onChange();
    onCancel();
  });
  return html`<div class="inset"><${Loaded} of=${stored} lines=${3} size="line">${(/** @type {object} */ resource) => html`
    <${SpecForm} fields=${fields} start=${startValues(fields, resource)} action="Save" submission=${submission} onSubmit=${save} onCancel=${onCancel} />
  `}</${Loaded}></div>`;
}
