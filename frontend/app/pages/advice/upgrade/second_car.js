/** Would it be worth it with a second car: asked, reckoned, kept nowhere. */
import { html } from "htm/preact";
import { Details } from "../../../components/details.js";
import { SpecForm } from "../../../components/spec_form.js";

/** @type {import("../../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [
  { name: "second_miles", label: "Miles on a working day", kind: "decimal", unit: "miles", hint: "There and back, Monday to Friday", isRequired: true },
  { name: "second_leaves_at", label: "Leaves at", kind: "time", isRequired: true },
  { name: "second_returns_at", label: "Back at", kind: "time", isRequired: true },
  { name: "second_battery_kwh", label: "Usable battery", kind: "decimal", unit: "kWh", isRequired: true },
  { name: "second_miles_per_kwh", label: "Miles per kWh", kind: "decimal", unit: "miles", isRequired: true },
  { name: "second_onboard_limit_a", label: "On-board charger", kind: "number", unit: "A", isRequired: true },
];
const START = { second_miles: "", second_leaves_at: "08:00", second_returns_at: "18:00", second_battery_kwh: "50", second_miles_per_kwh: "3.5", second_onboard_limit_a: "32" };

/**
 * @param {{ isReckoned: boolean, problem: import("../../../lib/problem.js").Problem | null, onAsk: (second: Record<string, string>) => void }} props
 */
export function SecondCar({ isReckoned, problem, onAsk }) {
  const submission = { isBusy: false, problem: isReckoned ? problem : null, run: async () => true, clear: () => {} };
  const ask = (/** @type {import("../../../lib/form_values.js").FormValues} */ values) =>
    onAsk(Object.fromEntries(Object.entries(values).map(([name, value]) => [name, String(value).trim()])));
  return html`<section class="card" aria-labelledby="second-car">
    <h2 id="second-car">With a second car?</h2>
    ${isReckoned && html`<p>The figures above reckon with a second car at the same outlet.
      <button type="button" class="button button-quiet" onClick=${() => onAsk({})}>Leave it out</button></p>`}
    <${Details} summary="Reckon with a second car">${() => html`<${SpecForm} fields=${FIELDS} start=${START} action="Reckon with it"
      submission=${submission} onSubmit=${ask} isGuarded=${false} />`}</${Details}>
  </section>`;
}
