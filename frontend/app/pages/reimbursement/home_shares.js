/** How much of a company car's electricity came from home, asked where no charging is recorded. */
import { html } from "htm/preact";
import { SpecForm } from "../../components/spec_form.js";

/** @typedef {import("../../api/claim_types.d.ts").HomeShare} HomeShare */
/** @typedef {import("../../api/claim_types.d.ts").CarHolding} CarHolding */

/**
 * The cars that are, or were, company cars.
 * @param {CarHolding[]} holdings
 * @returns {{ id: string, label: string }[]}
 */
export function companyCars(holdings) {
  const cars = holdings.filter(({ held_as: held }) => held === "company_car").map(({ vehicle_id: id, vehicle_label: label }) => /** @type {const} */ ([id, label]));
  return [...new Map(cars)].map(([id, label]) => ({ id, label }));
}

/**
 * @param {{ cars: { id: string, label: string }[], stated: HomeShare[], submission: import("../../state/submission.js").Submission,
 *   onSave: (shares: HomeShare[]) => unknown }} props
 */
export function HomeShares({ cars, stated, submission, onSave }) {
  if (cars.length === 0) return null;
  /** @type {import("../../lib/form_values.js").FieldSpec[]} */
  const fields = cars.map(({ id, label }) => ({ name: id, label: `Charged at home: ${label}`, kind: "decimal", unit: "%" }));
  const start = Object.fromEntries(cars.map(({ id }) => [id, stated.find((share) => share.vehicle_id === id)?.home_percent ?? ""]));
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) =>
    onSave(cars.map(({ id }) => ({ vehicle_id: id, home_percent: String(values[id] ?? "").trim() })).filter((share) => share.home_percent !== ""));
  const faultFields = Object.fromEntries(cars.map(({ id }, place) => [`home_shares.${place}.home_percent`, id]));
  return html`<section class="card" aria-labelledby="shares-title"><h2 id="shares-title">Where the company car was charged</h2>
    <p>Charging at home and at public points have rates of their own. Charging you recorded under <a href="/money/charged">What was charged</a> decides; where none is recorded for the month, say how much of it was at home.</p>
    <${SpecForm} fields=${fields} start=${start} action="Work it out with this" submission=${submission} onSubmit=${save} faultFields=${faultFields} isGuarded=${false} /></section>`;
}
