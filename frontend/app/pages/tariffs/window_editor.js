/** One window of a band: from, until, on which days and in which months. */
import { html } from "htm/preact";
import { Details } from "../../components/details.js";
import { Field } from "../../components/field.js";
import { ALL_MONTHS, DAY_KINDS, monthWords, toggled } from "../../lib/rate_bands.js";
import { DAY_KIND_WORDS, MONTHS } from "../../lib/wording.js";

/** @typedef {import("../../api/types.d.ts").BandWindow} BandWindow */
/** @typedef {import("../../lib/form_values.js").FieldSpec} FieldSpec */

/** @type {FieldSpec[]} */
const FIELDS = [
  { name: "starts_at", label: "From", kind: "time", step: 1800, isRequired: true },
  { name: "ends_at", label: "Until", kind: "time", step: 1800, isRequired: true },
];

/**
 * @template {string | number} T
 * @param {{ name: string, all: T[], chosen: T[], labelOf: (item: T) => string, onChange: (chosen: T[]) => void, fault: string }} props
 */
function Ticks({ name, all, chosen, labelOf, onChange, fault }) {
  return html`<fieldset class="ticks"><legend class="unseen">${name}</legend>
    ${all.map((item) => html`<label key=${item}><input type="checkbox" checked=${chosen.includes(item)}
      onChange=${() => onChange(toggled(all, chosen, item))} /> ${labelOf(item)}</label>`)}
    ${fault && html`<p class="fault">${fault}</p>`}
  </fieldset>`;
}

/**
 * @param {{ window: BandWindow, path: string, bandName: string, number: number, editing: import("./version_editor.js").Editing }} props
 */
export function WindowEditor({ window, path, bandName, number, editing }) {
  const values = /** @type {Record<string, any>} */ (/** @type {unknown} */ (window));
  return html`<div class="window" role="group" aria-label=${`${bandName}, window ${number}`}>
    ${FIELDS.map((spec) => html`<${Field} key=${spec.name} spec=${spec} value=${values[spec.name] === "24:00" ? "00:00" : values[spec.name]}
      fault=${editing.faultOf(`${path}.${spec.name}`)} onInput=${(/** @type {string} */ value) => editing.set(`${path}.${spec.name}`, value)} />`)}
    <${Ticks} name="Days" all=${DAY_KINDS} chosen=${window.day_kinds} labelOf=${(/** @type {import("../../api/types.d.ts").DayKind} */ kind) => DAY_KIND_WORDS[kind]}
      fault=${editing.faultOf(`${path}.day_kinds`)} onChange=${(/** @type {string[]} */ chosen) => editing.set(`${path}.day_kinds`, chosen)} />
    <${Details} class="months" summary=${`Months: ${monthWords(window.months)}`}>${() => html`
      <${Ticks} name="Months" all=${ALL_MONTHS} chosen=${window.months} labelOf=${(/** @type {number} */ month) => MONTHS[month - 1]}
        fault=${editing.faultOf(`${path}.months`)} onChange=${(/** @type {number[]} */ chosen) => editing.set(`${path}.months`, chosen)} />`}</${Details}>
    <button type="button" class="button button-quiet" onClick=${() => editing.remove(path)}>Remove<span class="unseen"> window ${number} of ${bandName}</span></button>
    ${editing.faultOf(path) && html`<p class="fault">${editing.faultOf(path)}</p>`}
  </div>`;
}
