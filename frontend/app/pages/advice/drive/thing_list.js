/** Everything drawn as a list: each thing can be changed as numbers, or deleted. */
import { html } from "htm/preact";
import { Details } from "../../../components/details.js";
import { Field } from "../../../components/field.js";
import { thingsOf } from "../../../lib/drive_things.js";

/** @typedef {import("../../../lib/drive_things.js").Thing} Thing */
/** @typedef {import("../../../lib/drive_things.js").ThingField} ThingField */

/**
 * @param {{
 *   thing: Thing, onRemove: (list: Thing["list"], index: number) => void,
 *   onValue: (list: Thing["list"], index: number, path: (string | number)[], value: string | number) => void,
 * }} props
 */
function ThingRow({ thing, onRemove, onValue }) {
  const { list, index, name, words, fields } = thing;
  const read = (/** @type {ThingField} */ field) => (/** @type {string} */ text) => {
    const value = field.kind === "number" ? Number(text) : text;
    if (field.kind !== "number" || (text !== "" && Number.isFinite(value))) onValue(list, index, field.path, value);
  };
  return html`<li class="row-item drive-thing">
    <div><strong>${name}</strong> <span class="small">${words}</span></div>
    <button type="button" class="button button-quiet" onClick=${() => onRemove(list, index)}>Delete<span class="unseen"> ${name}</span></button>
    <${Details} summary=${html`Change<span class="unseen"> ${name}</span>`}>${() => html`<div class="form-fields">${fields.map((field) => html`<${Field}
      key=${field.path.join(".") + field.label} value=${String(field.value)} onInput=${read(field)}
      spec=${{ name: field.path.join("."), label: field.label, kind: field.kind, unit: field.kind === "number" ? "m" : undefined, step: 0.1, min: 0, options: field.options }} />`)}</div>`}</${Details}>
  </li>`;
}

/**
 * @param {{
 *   drawing: import("../../../api/drive_types.d.ts").Drawing, onRemove: (list: Thing["list"], index: number) => void,
 *   onValue: (list: Thing["list"], index: number, path: (string | number)[], value: string | number) => void,
 * }} props
 */
export function ThingList({ drawing, onRemove, onValue }) {
  const things = thingsOf(drawing);
  return html`<div class="drive-list"><${Details} summary=${`What is drawn (${things.length})`}>${() => (things.length === 0
    ? html`<p>Nothing yet. Begin with the walls of the house that face the drive, then a place for each car.</p>`
    : html`<ul class="row-list">${things.map((thing) => html`<${ThingRow} key=${`${thing.list}-${thing.index}`} thing=${thing} onRemove=${onRemove} onValue=${onValue} />`)}</ul>`)}</${Details}></div>`;
}
