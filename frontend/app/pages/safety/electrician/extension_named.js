/** The one extension lead that he allows by name; without one, an extension lead is never to be used. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { EXTENSION_FIELDS } from "../../../lib/inspection_fields.js";
import { withValue } from "../../../lib/inspection_form.js";
import { EntryField } from "./step_fields.js";

/** @typedef {import("../../../lib/inspection_form.js").OutletForm} OutletForm */

/** @param {{ form: OutletForm, change: import("./step_fields.js").Change, faultOf: (field: string) => string }} props */
export function ExtensionNamed({ form, change, faultOf }) {
  const [isOpen, setOpen] = useState(EXTENSION_FIELDS.some(({ name }) => form.values[name] !== undefined));
  const drop = () => {
    setOpen(false);
    change((old) => EXTENSION_FIELDS.reduce((rest, { name }) => withValue(rest, name, ""), old));
  };
  if (!isOpen) {
    return html`<div><p class="small">An extension lead is never to be used, unless you name one here. A coiled or multi-socket one cannot be allowed.</p>
      <button type="button" class="button" onClick=${() => setOpen(true)}>Name one extension lead</button></div>`;
  }
  return html`<fieldset class="form inset"><legend class="list-title">The one extension lead that may be used</legend>
    <p class="small">Only where the charging lead's instructions allow it; this one and no other.</p>
    ${EXTENSION_FIELDS.map((field) => html`<${EntryField} key=${field.name} field=${field} form=${form} change=${change} faultOf=${faultOf} />`)}
    <button type="button" class="button button-quiet" onClick=${drop}>Name none</button></fieldset>`;
}
