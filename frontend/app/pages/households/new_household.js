/** Add a home to the scheme. */
import { html } from "htm/preact";
import { addHousehold } from "../../api/households.js";
import { Page } from "../../components/page.js";
import { SpecForm } from "../../components/spec_form.js";
import { bodyOf, startValues } from "../../lib/form_values.js";
import { HOME_FIELDS } from "../../lib/home_fields.js";
import { say } from "../../state/notices.js";
import { go } from "../../state/router.js";
import { useSubmission } from "../../state/submission.js";

const START = startValues(HOME_FIELDS, { zone: "Europe/London" });

/** The form for a new home. */
export function NewHouseholdPage() {
  const submission = useSubmission();
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async (key) => {
    const { data } = await addHousehold(bodyOf(HOME_FIELDS, values), key);
    say(`Home ${data.reference} added. Next: its outlet, inspection, car and tariff.`);
    go(`/households/${data.id}`, { isAsked: true });
  });
  return html`<${Page} title="Add a home" class="page-narrow" lead=${html`<a href="/households">All homes</a>`}>
    <${SpecForm} fields=${HOME_FIELDS} start=${START} action="Add this home" submission=${submission} onSubmit=${save}
      onCancel=${() => go("/households")} />
  </${Page}>`;
}
