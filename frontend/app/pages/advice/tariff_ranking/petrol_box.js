/** Which petrol car a mile is compared with: an engine's size and its dated rate, or one's own price and car. */
import { html } from "htm/preact";
import { Details } from "../../../components/details.js";
import { SpecForm } from "../../../components/spec_form.js";
import { WorkingSteps } from "../../../components/working_steps.js";
import { bodyOf, startValues } from "../../../lib/form_values.js";
import { formatUnitPrice } from "../../../lib/money.js";
import { useSubmission } from "../../../state/submission.js";

/** @typedef {import("../../../api/tariff_ranking_types.d.ts").TariffComparison} TariffComparison */

/** @type {import("../../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [
  {
    name: "petrol_size", label: "Engine of a petrol car", kind: "select", options: [
      { value: "1401_to_2000", label: "1401 to 2000 cc" }, { value: "up_to_1400", label: "Up to 1400 cc" }, { value: "above_2000", label: "Above 2000 cc" },
    ],
  },
  { name: "petrol_pence_per_litre", label: "Or: petrol costs", kind: "decimal", unit: "p a litre", hint: "With miles per gallon, in place of the published rate." },
  { name: "petrol_miles_per_gallon", label: "The petrol car does", kind: "decimal", unit: "miles a gallon" },
];

/** @param {{ petrol: TariffComparison["petrol"], asked: Record<string, string>, onAsk: (petrol: Record<string, string>) => void }} props */
export function PetrolBox({ petrol, asked, onAsk }) {
  const submission = useSubmission();
  const ask = (/** @type {import("../../../lib/form_values.js").FormValues} */ values) =>
    onAsk(Object.fromEntries(Object.entries(bodyOf(FIELDS, values)).filter(([, value]) => value !== "")));
  return html`<section class="card" aria-labelledby="petrol">
    <h2 id="petrol">Beside petrol</h2>
    <p>${petrol.pence_per_mile === null ? "What a mile costs in petrol is not known." : html`A mile in petrol: <strong>${formatUnitPrice(petrol.pence_per_mile)}</strong>${petrol.is_current ? "." : ", by the last published rate; none for today is known."}`}</p>
    <${Details} summary="Another petrol car, and the working">${() => html`
      <${SpecForm} fields=${FIELDS} start=${startValues(FIELDS, asked)} action="Compare with it" submission=${submission} onSubmit=${ask} isGuarded=${false} />
      <${WorkingSteps} steps=${petrol.working} />`}</${Details}>
  </section>`;
}
