/** Who can take a tariff: the meter and equipment it asks for, other terms, whether it is still sold, what it binds to. */
import { html } from "htm/preact";
import { getTaking, putTaking } from "../../api/tariff_ranking.js";
import { Loaded } from "../../components/loaded.js";
import { SpecForm } from "../../components/spec_form.js";
import { bodyOf, startValues } from "../../lib/form_values.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/tariff_ranking_types.d.ts").Taking} Taking */

/** @type {import("../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [
  {
    name: "meter_needed", label: "Meter it asks for", kind: "select", options: [
      { value: "any", label: "Any" }, { value: "two_rate", label: "One that tells two rates apart" }, { value: "half_hourly", label: "A half-hourly (smart) meter" },
    ],
  },
  { name: "needs_charging_point", label: "Only with a charging point at home", kind: "tick" },
  { name: "is_open", label: "Open to new contracts", kind: "tick" },
  { name: "other_terms", label: "Other terms", kind: "text", hint: "Put to members as a question, such as: gas from the same supplier." },
  { name: "fixed_months", label: "A new contract is fixed for", kind: "number", unit: "months", min: 1, step: 1, hint: "Empty: not fixed, or not known." },
  { name: "exit_fee_pence", label: "Leaving it earlier costs", kind: "number", unit: "£", factor: 100, min: 0, step: 0.01, hint: "Empty: not known." },
];

/** @param {{ tariffId: string }} props */
export function TakingForm({ tariffId }) {
  const taking = useResource((reading) => getTaking(tariffId, reading), [tariffId]);
  const submission = useSubmission({ onStale: taking.reload });
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async () => {
    const { data, etag } = await putTaking(tariffId, /** @type {Taking} */ (bodyOf(FIELDS, values)), taking.etag);
    taking.put(data, etag);
    say("Saved. Members see it where tariffs are compared; no plan changes.");
  });
  return html`<section class="card" aria-labelledby="taking-title"><h2 id="taking-title">Who can take it</h2>
    <p class="small">Members' comparisons leave a tariff out where their home cannot take it, and say why.</p>
    <${Loaded} of=${taking} lines=${3} size="line">${(/** @type {Taking} */ data) => html`
      <${SpecForm} fields=${FIELDS} start=${startValues(FIELDS, data)} action="Save" submission=${submission} onSubmit=${save} />`}</${Loaded}>
  </section>`;
}
