/** One band: name, price, and the windows in which it counts. */
import { html } from "htm/preact";
import { Field } from "../../components/field.js";
import { newWindow } from "../../lib/rate_bands.js";
import { WindowEditor } from "./window_editor.js";

/** @typedef {import("../../api/types.d.ts").Band} Band */
/** @typedef {import("../../lib/form_values.js").FieldSpec} FieldSpec */

/** @type {FieldSpec[]} */
const FIELDS = [
  { name: "name", label: "Band", kind: "text", isRequired: true },
  { name: "price_pence_per_kwh", label: "Price", kind: "decimal", unit: "p per kWh", isRequired: true },
];

/**
 * @param {{ band: Band, path: string, number: number, editing: import("./version_editor.js").Editing }} props
 */
export function BandEditor({ band, path, number, editing }) {
  const values = /** @type {Record<string, any>} */ (/** @type {unknown} */ (band));
  const name = band.name || `Band ${number}`;
  return html`<div class="band" role="group" aria-label=${name}>
    <div class="band-row">
      ${FIELDS.map((spec) => html`<${Field} key=${spec.name} spec=${spec} value=${values[spec.name]} fault=${editing.faultOf(`${path}.${spec.name}`)}
        onInput=${(/** @type {string} */ value) => editing.set(`${path}.${spec.name}`, value)} />`)}
      <button type="button" class="button button-quiet" onClick=${() => editing.remove(path)}>Remove<span class="unseen"> ${name}</span></button>
    </div>
    ${band.is_otherwise
      ? html`<p class="small">Counts at all times that no other band covers.</p>`
      : html`
        ${band.windows.map((window, place) => html`<${WindowEditor} key=${place} window=${window} path=${`${path}.windows.${place}`} bandName=${name} number=${place + 1} editing=${editing} />`)}
        ${editing.faultOf(`${path}.windows`) && html`<p class="fault">${editing.faultOf(`${path}.windows`)}</p>`}
        <button type="button" class="button button-quiet" onClick=${() => editing.append(`${path}.windows`, newWindow())}>Add a time window<span class="unseen"> to ${name}</span></button>`}
    ${editing.faultOf(path) && html`<p class="fault">${editing.faultOf(path)}</p>`}
  </div>`;
}
