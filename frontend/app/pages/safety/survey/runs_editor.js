/** The runs of a circuit in order from the origin: kind, device, cable, how it runs, length; whatever is known of each. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { Field } from "../../../components/field.js";
import { NEW_RUN, RUN_FIELDS, SURROUNDING_FIELDS } from "../../../lib/survey_questions.js";
import { RUN_KIND_WORDS, choices } from "../../../lib/wording.js";

/** @typedef {import("../../../lib/form_values.js").FieldSpec} FieldSpec */

/** @type {FieldSpec} */
const KIND = { name: "kind", label: "What it is", kind: "select", options: choices(RUN_KIND_WORDS) };
/** @type {FieldSpec} */
const NEXT_KIND = { name: "next", label: "What comes next from the meter", kind: "select", options: choices(RUN_KIND_WORDS) };

/** A board is no cable: only its device is asked about. */
const OF_A_BOARD = ["kind", "device_kind", "device_a", "rcd_type", "rcd_ma"];

/**
 * @param {{
 *   runs: Record<string, any>[],
 *   onChange: (runs: Record<string, any>[]) => void,
 *   faultOf: (path: string) => string,
 *   hasSurroundings?: boolean,
 * }} props hasSurroundings: ask for what surrounds the cable too
 */
export function RunsEditor({ runs, onChange, faultOf, hasSurroundings = false }) {
  const [next, setNext] = useState("board");
  const fieldsOf = (/** @type {string} */ kind) => [KIND, ...RUN_FIELDS, ...(hasSurroundings ? SURROUNDING_FIELDS : [])].filter(({ name }) => kind !== "board" || OF_A_BOARD.includes(name));
  const put = (/** @type {number} */ place, /** @type {FieldSpec} */ spec, /** @type {string} */ text) => {
    const value = spec.kind === "number" ? (text.trim() === "" ? null : Number(text)) : text;
    onChange(runs.map((run, index) => (index === place ? { ...run, [spec.name]: value } : run)));
  };
  return html`<div class="runs-editor">
    ${runs.length === 0 && html`<p>No run is entered: how the circuit runs is not known.</p>`}
    <ol class="run-cards">${runs.map((run, place) => html`<li key=${place} class="inset run-card">
      <h4>Run ${place + 1}</h4>
      <div class="form-fields">${fieldsOf(run.kind).map((spec) => html`<${Field} key=${spec.name} spec=${spec} value=${run[spec.name] === null ? "" : String(run[spec.name])}
        fault=${faultOf(`${place}.${spec.name}`)} onInput=${(/** @type {string} */ text) => put(place, spec, text)} />`)}</div>
      <button type="button" class="button button-quiet" onClick=${() => onChange(runs.filter((_, index) => index !== place))}>Take run ${place + 1} out</button>
    </li>`)}</ol>
    <div class="run-adder">
      <${Field} spec=${NEXT_KIND} value=${next} onInput=${setNext} />
      <button type="button" class="button" onClick=${() => onChange([...runs, { kind: next, ...NEW_RUN }])}>Add this run</button>
    </div>
  </div>`;
}
