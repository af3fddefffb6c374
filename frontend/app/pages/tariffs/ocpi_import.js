/** Bring in a tariff object of the open standard OCPI 2.2.1: it becomes a draft, or every reason against it is named. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { importOcpi } from "../../api/tariff_ranking.js";
import { SpecForm } from "../../components/spec_form.js";
import { bodyOf, startValues } from "../../lib/form_values.js";
import { say } from "../../state/notices.js";
import { go } from "../../state/router.js";
import { useSubmission } from "../../state/submission.js";

/** @type {import("../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [
  { name: "name", label: "Name", kind: "text", isRequired: true },
  { name: "valid_from_on", label: "Valid from", kind: "date", isRequired: true },
  { name: "standing_pence_per_day", label: "Standing charge, without VAT", kind: "decimal", unit: "p a day", isRequired: true, hint: "A tariff object does not say it." },
  { name: "tariff", label: "Tariff object", kind: "long", isRequired: true, hint: "JSON as the standard has it: prices for energy by local time and day of the week." },
];

/** @param {{ onCancel: () => void }} props */
export function OcpiImport({ onCancel }) {
  const submission = useSubmission();
  const [unread, setUnread] = useState("");
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => {
    const body = bodyOf(FIELDS, values);
    try {
      body.tariff = JSON.parse(String(values.tariff));
    } catch (error) {
      setUnread(`The tariff object is not JSON: ${error instanceof Error ? error.message : "it cannot be read"}`);
      return undefined;
    }
    setUnread("");
    return submission.run(async (key) => {
      const { data } = await importOcpi(body, key);
      const draft = data.versions[0];
      say(`${data.name} brought in as a draft. Look at it, then publish it.`);
      go(draft ? `/tariffs/${data.id}/${draft.id}` : `/tariffs/${data.id}`, { isAsked: true });
    });
  };
  return html`<section class="card" aria-labelledby="ocpi-title"><h2 id="ocpi-title">Bring in a tariff object (OCPI 2.2.1)</h2>
    ${unread && html`<p class="fault" role="alert">${unread}</p>`}
    <${SpecForm} fields=${FIELDS} start=${startValues(FIELDS)} action="Bring in as a draft" submission=${submission} onSubmit=${save} onCancel=${onCancel} /></section>`;
}
