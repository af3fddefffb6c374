/** A home's maximum demand row by row, and whether the network operator is told after connecting or asked before. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { getDemand } from "../../api/survey.js";
import { Facts } from "../../components/facts.js";
import { Field } from "../../components/field.js";
import { Loaded } from "../../components/loaded.js";
import { WorkingSteps } from "../../components/working_steps.js";
import { exactAmps, refusalWords } from "../../lib/arithmetic_words.js";
import { fieldFault } from "../../lib/problem.js";
import { LOAD_WORDS, YES_NO_WORDS, choices, readable } from "../../lib/wording.js";
import { useResource } from "../../state/resource.js";

/** @typedef {import("../../api/survey_types.d.ts").Demand} Found */

/** What the operator's form asks and nobody records. @type {import("../../lib/form_values.js").FieldSpec[]} */
const STATED = [
  { name: "is_unmetered", label: "Is the supply unmetered?", kind: "select", options: choices(YES_NO_WORDS) },
  { name: "is_adequate", label: "Is the supply known to be adequate?", kind: "select", options: choices(YES_NO_WORDS) },
  { name: "has_doubt", label: "Any doubt about cut-out, tails or earthing?", kind: "select", options: choices(YES_NO_WORDS) },
  { name: "is_upgrade_certain", label: "Is an upgrade certain?", kind: "select", options: choices(YES_NO_WORDS) },
  { name: "is_area_scheme", label: "One of a planned group in one area?", kind: "select", options: choices(YES_NO_WORDS) },
];
/** @type {Record<string, string>} */
const NOTHING_STATED = Object.fromEntries(STATED.map(({ name }) => [name, "not_known"]));
/** Evidence that counts in place of the rows. @type {import("../../lib/form_values.js").FieldSpec[]} */
const OTHER = [
  { name: "measured_a", label: "Highest demand measured, without charging", kind: "number", unit: "A", min: 0, max: 1000, step: 1 },
  { name: "measured_days", label: "Measured over", kind: "number", unit: "days", min: 1, step: 1 },
  { name: "measured_by", label: "Measured by", kind: "text" },
  { name: "limit_a", label: "A device holds the home to", kind: "number", unit: "A", min: 0, max: 1000, step: 1 },
  { name: "device", label: "Which load-management device", kind: "text" },
];
/** @type {Record<string, string>} */
const ACTION_WORDS = { connect_and_notify: "Connect, then notify within 28 days", apply_first: "Apply first" };

/** @param {Found} found @returns {[string, unknown][]} */
function rows(found) {
  return [
    ["Maximum demand", found.demand_a === null ? `not known; the known rows come to ${exactAmps(found.at_least_a)}` : exactAmps(found.demand_a)],
    ["Method", found.method || "none"],
    ["Network operator", found.action ? ACTION_WORDS[found.action] : "not known"],
  ];
}

/** @param {{ found: Found }} props */
function DemandRows({ found }) {
  return html`<div class="table-box" role="region" aria-label="Rows of the demand" tabindex="0"><table class="table dense">
    <thead><tr><th scope="col">Row</th><th scope="col" class="number">Connected</th><th scope="col" class="number">Counted</th><th scope="col">Rule</th></tr></thead>
    <tbody>${found.rows.map((row) => html`<tr key=${row.kind}><th scope="row">${readable(row.kind)}</th><td class="number">${exactAmps(row.connected_a)}</td>
      <td class="number">${exactAmps(row.counted_a)}</td><td>${row.rule}</td></tr>`)}</tbody></table></div>`;
}

/** @param {{ householdId: string }} props */
export function Demand({ householdId }) {
  const [stated, setStated] = useState(NOTHING_STATED);
  const [other, setOther] = useState(/** @type {import("../../lib/form_values.js").FormValues} */ ({}));
  const found = useResource((reading) => getDemand(householdId, stated, reading), [householdId, JSON.stringify(stated)]);
  const reckon = (/** @type {Event} */ event) => {
    event.preventDefault();
    setStated((old) => ({ ...old, .../** @type {Record<string, string>} */ (other) }));
  };
  const faultOf = (/** @type {string} */ name) => fieldFault(found.problem, name);
  return html`<${Loaded} of=${found} lines=${3} size="line">${(/** @type {Found} */ data) => html`
    <${Facts} rows=${rows(data)} />
    ${data.refused.length > 0 && html`<div class="note note-warn"><p class="note-title">Beyond the rules, so not answered</p>
      <ul>${data.refused.map((one) => html`<li key=${one.field}>${refusalWords(one)}</li>`)}</ul></div>`}
    ${data.reasons.length > 0 && html`<p class="list-title">Because</p><ul>${data.reasons.map((text) => html`<li key=${text}>${text}</li>`)}</ul>`}
    ${data.not_known.length > 0 && html`<p class="list-title">Not known</p><ul>${data.not_known.map((kind) => html`<li key=${kind}>${LOAD_WORDS[kind] ?? kind}</li>`)}</ul>`}
    ${data.rows.length > 0 && html`<${DemandRows} found=${data} />`}
    <fieldset class="choice-group"><legend>What the network operator's form asks</legend>
      <p class="hint">Answered for this reckoning alone; nothing of it is kept.</p>
      <div class="form-fields">${STATED.map((spec) => html`<${Field} key=${spec.name} spec=${spec} value=${stated[spec.name]}
        onInput=${(/** @type {string} */ value) => setStated((old) => ({ ...old, [spec.name]: value }))} />`)}</div></fieldset>
    <form class="form" onSubmit=${reckon} noValidate><fieldset class="choice-group"><legend>Other evidence of the demand</legend>
      <p class="hint">A measured demand, or a device that holds the home to a limit, counts in place of the rows.</p>
      <div class="form-fields">${OTHER.map((spec) => html`<${Field} key=${spec.name} spec=${spec} value=${other[spec.name] ?? ""} fault=${faultOf(spec.name)}
        onInput=${(/** @type {string} */ value) => setOther((old) => ({ ...old, [spec.name]: value }))} />`)}</div></fieldset>
      <div class="form-actions"><button class="button">Reckon with this evidence</button></div></form>
    ${data.working.length > 0 && html`<${WorkingSteps} steps=${data.working} />`}
  `}</${Loaded}>`;
}
