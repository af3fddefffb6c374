/** The entries of one step: large choices, figures with their unit, and "not tested, because..." beside each reading. */
import { html } from "htm/preact";
import { useLayoutEffect, useRef } from "preact/hooks";
import { ChoiceGroup } from "../../../components/choice_group.js";
import { Field } from "../../../components/field.js";
import { faultOf as entryFault } from "../../../lib/inspection_faults.js";
import { fieldsOf } from "../../../lib/inspection_fields.js";
import { isAsked, withUntested, withValue } from "../../../lib/inspection_form.js";

/** @typedef {import("../../../lib/inspection_fields.js").InspectionField} InspectionField */
/** @typedef {import("../../../lib/inspection_form.js").OutletForm} OutletForm */
/** @typedef {(change: (old: OutletForm) => OutletForm) => unknown} Change */

const MOST_BUTTONS = 4;

/**
 * A figure's range in words, after its hint.
 * @param {InspectionField} field
 * @returns {string}
 */
export function rangeHint(field) {
  if (field.min === undefined || field.max === undefined || field.isReading) return field.hint ?? "";
  return [field.hint, `${field.min} to ${field.max} ${field.unit ?? ""}.`].filter(Boolean).join(" ");
}

/** @param {{ field: InspectionField, form: OutletForm, change: Change, faultOf: (field: string) => string }} props */
function ReadingField({ field, form, change, faultOf }) {
  const box = useRef(/** @type {HTMLDivElement | null} */ (null));
  const wasTurned = useRef(false);
  const because = form.untested[field.name];
  const isUntested = because !== undefined;
  // Before the next key: a space would press the button again.
  useLayoutEffect(() => {
    if (wasTurned.current) box.current?.querySelector("input")?.focus();
  }, [isUntested]);
  const turn = () => {
    wasTurned.current = true;
    change((old) => withUntested(old, field.name, isUntested ? null : ""));
  };
  const reason = { name: `${field.name}.not_tested_because`, label: `${field.label}: not tested, because`, kind: /** @type {const} */ ("text"), hint: "A reason is an answer; the item then stays not known." };
  const value = form.values[field.name] ?? "";
  return html`<div class="reading" ref=${box}>
    ${isUntested
      ? html`<${Field} key="reason" spec=${reason} value=${because} fault=${faultOf(reason.name)} onInput=${(/** @type {string} */ text) => change((old) => withUntested(old, field.name, text))} />`
      : html`<${Field} key="value" spec=${field} value=${value} fault=${entryFault(field, value) || faultOf(field.name)} onInput=${(/** @type {string} */ text) => change((old) => withValue(old, field.name, text))} />`}
    <button type="button" class="button button-quiet" onClick=${turn}>${isUntested ? "Enter a reading" : "Not tested, because…"}<span class="unseen"> (${field.label})</span></button>
  </div>`;
}

/** @param {{ field: InspectionField, form: OutletForm, change: Change, faultOf: (field: string) => string }} props */
export function EntryField({ field, form, change, faultOf }) {
  const value = form.values[field.name] ?? "";
  const put = (/** @type {string} */ text) => change((old) => withValue(old, field.name, text));
  const fault = entryFault(field, value) || faultOf(field.name);
  if (field.kind === "select" && (field.options?.length ?? 0) <= MOST_BUTTONS) {
    return html`<${ChoiceGroup} spec=${field} value=${value} fault=${fault} onInput=${put} />`;
  }
  const options = field.options && [{ value: "", label: "Choose" }, ...field.options];
  return html`<${Field} spec=${{ ...field, options, hint: rangeHint(field) }} value=${value} fault=${fault} onInput=${put} />`;
}

/**
 * @param {{
 *   step: import("../../../lib/inspection_fields.js").InspectionStep, kind: string,
 *   form: OutletForm, change: Change, faultOf: (field: string) => string,
 * }} props
 */
export function StepFields({ step, kind, form, change, faultOf }) {
  return fieldsOf(step, kind).filter((field) => isAsked(form, field)).map((field) => html`<${field.isReading ? ReadingField : EntryField} key=${field.name}
    field=${field} form=${form} change=${change} faultOf=${faultOf} />`);
}
