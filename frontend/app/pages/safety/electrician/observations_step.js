/** Coded findings: what was seen, its code, and what it reaches. */
import { html } from "htm/preact";
import { ChoiceGroup } from "../../../components/choice_group.js";
import { Field } from "../../../components/field.js";
import { NEW_OBSERVATION } from "../../../lib/inspection_form.js";
import { REACH_WORDS } from "../../../lib/inspection_words.js";
import { appendIn, removeIn, setIn } from "../../../lib/set_in.js";
import { CODE_WORDS, choices } from "../../../lib/wording.js";

/** @typedef {import("../../../lib/inspection_form.js").OutletForm} OutletForm */

/** @type {import("../../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [
  { name: "code", label: "Code", kind: "select", options: choices(CODE_WORDS) },
  { name: "reach", label: "What it reaches", kind: "select", options: choices(REACH_WORDS), hint: "At the board, earthing or supply: the whole home." },
  { name: "note", label: "What you observed", kind: "long", isRequired: true },
  { name: "closed_on", label: "Put right by you on", kind: "date", hint: "Empty: it still stands." },
];

/** @param {{ form: OutletForm, change: import("./step_fields.js").Change, faultOf: (field: string) => string }} props */
export function ObservationsStep({ form, change, faultOf }) {
  const put = (/** @type {number} */ place, /** @type {string} */ name) => (/** @type {string} */ value) =>
    change((old) => setIn(old, `observations.${place}.${name}`, value));
  return html`
    <p>An open C1, C2 or FI means: do not use. It stops charging as soon as you submit.</p>
    ${form.observations.map((observation, place) => html`<fieldset key=${place} class="form card"><legend class="unseen">Observation ${place + 1}</legend>
      <h2 aria-hidden="true">Observation ${place + 1}</h2>
      ${FIELDS.map((spec) => html`<${spec.kind === "select" ? ChoiceGroup : Field} key=${spec.name} spec=${spec}
        value=${/** @type {Record<string, string>} */ (observation)[spec.name]} fault=${faultOf(`observations.${place}.${spec.name}`)} onInput=${put(place, spec.name)} />`)}
      <button type="button" class="button button-quiet" onClick=${() => change((old) => removeIn(old, `observations.${place}`))}>Remove observation ${place + 1}</button>
    </fieldset>`)}
    ${form.observations.length === 0 && html`<p>None entered.</p>`}
    <button type="button" class="button" onClick=${() => change((old) => appendIn(old, "observations", NEW_OBSERVATION))}>Add an observation</button>`;
}
