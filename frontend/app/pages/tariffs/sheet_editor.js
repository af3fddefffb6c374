/** One sheet of prices: its region and payment method, standing charge, bands, and a picture of a typical day. */
import { html } from "htm/preact";
import { Field } from "../../components/field.js";
import { newBand, sheetName } from "../../lib/rate_bands.js";
import { BandEditor } from "./band_editor.js";
import { DayPicture } from "./day_picture.js";

/** @typedef {import("../../api/types.d.ts").Sheet} Sheet */
/** @typedef {import("../../lib/form_values.js").FieldSpec} FieldSpec */

/** @type {FieldSpec[]} */
const FIELDS = [
  { name: "region", label: "Region", kind: "text", isNullable: true, hint: "Empty for all regions." },
  { name: "payment", label: "Payment method", kind: "text", isNullable: true, hint: "Empty for all." },
  { name: "standing_pence_per_day", label: "Standing charge", kind: "decimal", unit: "p a day", isRequired: true },
];

/**
 * @param {{
 *   sheet: Sheet, place: number, canRemove: boolean,
 *   tariff: import("../../api/types.d.ts").Tariff,
 *   editing: import("./version_editor.js").Editing,
 * }} props
 */
export function SheetEditor({ sheet, place, tariff, editing, canRemove }) {
  const path = `sheets.${place}`;
  const values = /** @type {Record<string, any>} */ (/** @type {unknown} */ (sheet));
  const hasOtherwise = sheet.bands.some((band) => band.is_otherwise);
  return html`<fieldset class="card sheet"><legend>Sheet ${place + 1}: ${sheetName(sheet)}</legend>
    <div class="form-fields">${FIELDS.map((spec) => html`<${Field} key=${spec.name} spec=${spec} value=${values[spec.name] ?? ""}
      fault=${editing.faultOf(`${path}.${spec.name}`)}
      onInput=${(/** @type {string} */ value) => editing.set(`${path}.${spec.name}`, spec.isNullable && value.trim() === "" ? null : value)} />`)}</div>
    ${tariff.kind === "half_hourly"
      ? html`<p class="small">The price of each half-hour comes from the uploaded prices.</p>`
      : html`
        ${sheet.bands.map((band, number) => html`<${BandEditor} key=${number} band=${band} path=${`${path}.bands.${number}`} number=${number + 1} editing=${editing} />`)}
        ${editing.faultOf(`${path}.bands`) && html`<p class="fault">${editing.faultOf(`${path}.bands`)}</p>`}
        ${editing.faultOf(path) && html`<p class="fault">${editing.faultOf(path)}</p>`}
        <div class="form-actions">
          <button type="button" class="button" onClick=${() => editing.append(`${path}.bands`, newBand(false))}>Add a band</button>
          ${!hasOtherwise && html`<button type="button" class="button" onClick=${() => editing.append(`${path}.bands`, newBand(true))}>Add a band for all other times</button>`}
        </div>
        <${DayPicture} sheet=${sheet} />`}
    ${canRemove && html`<button type="button" class="button button-quiet" onClick=${() => editing.remove(path)}>Remove sheet ${place + 1}</button>`}
  </fieldset>`;
}
