/** What the drawing is called, how big it is, and what to reckon with. */
import { html } from "htm/preact";
import { Details } from "../../../components/details.js";
import { Field } from "../../../components/field.js";

/** @typedef {import("./editor.js").Draft} Draft */

/** @type {import("../../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [
  { name: "width_m", label: "Width of the sheet", kind: "number", unit: "m", min: 4, max: 40, step: 0.1 },
  { name: "depth_m", label: "Depth of the sheet", kind: "number", unit: "m", min: 4, max: 40, step: 0.1 },
  { name: "outlet_height_m", label: "Height of the outlet", kind: "number", unit: "m", min: 0.5, max: 1.5, step: 0.1, hint: "0.5 to 1.5 m: from memory, to be checked in the book." },
  { name: "cable_m", label: "Reckon with a cable of", kind: "number", unit: "m", min: 1, max: 20, step: 0.1, isNullable: true, hint: "Empty: the cable each car has." },
  { name: "car_length_m", label: "Length of a car", kind: "number", unit: "m", min: 2, max: 7, step: 0.1, hint: "Assumed unless you change it." },
  { name: "car_width_m", label: "Width of a car", kind: "number", unit: "m", min: 1, max: 3, step: 0.1, hint: "Assumed unless you change it." },
];

/** @param {{ draft: Draft, onChange: (draft: Draft) => void }} props */
export function DriveSettings({ draft, onChange }) {
  const { drawing } = draft;
  const change = (/** @type {import("../../../lib/form_values.js").FieldSpec} */ { name, isNullable }) => (/** @type {string} */ text) => {
    if (text === "" && !isNullable) return;
    onChange({ ...draft, drawing: { ...drawing, [name]: text === "" ? null : Number(text) } });
  };
  return html`<div class="drive-list"><${Details} summary="Name, sizes, height and cable">${() => html`<div class="form-fields">
    <${Field} spec=${{ name: "label", label: "Name of the drawing", kind: "text" }} value=${draft.label} onInput=${(/** @type {string} */ label) => onChange({ ...draft, label })} />
    ${FIELDS.map((spec) => html`<${Field} key=${spec.name} spec=${spec} onInput=${change(spec)}
      value=${String(/** @type {Record<string, any>} */ (drawing)[spec.name] ?? "")} />`)}
  </div>`}</${Details}></div>`;
}
