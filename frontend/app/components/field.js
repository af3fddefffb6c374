/** One entry of a form: label, control, unit, hint and what is wrong with it, tied together for a screen reader. */
import { html } from "htm/preact";
import { useId } from "preact/hooks";

/** @typedef {import("../lib/form_values.js").FieldSpec} FieldSpec */

/** @type {Record<string, string>} */
const INPUT_TYPES = { text: "text", email: "email", password: "password", number: "number", decimal: "text", date: "date", time: "time", numbers: "text" };

/**
 * @param {FieldSpec} spec
 * @param {string} id
 * @param {string | boolean} value
 * @param {(value: string | boolean) => void} onInput
 * @param {Record<string, unknown>} aria
 */
function control(spec, id, value, onInput, aria) {
  const read = (/** @type {{ currentTarget: HTMLInputElement }} */ event) => onInput(event.currentTarget.value);
  const common = { id, name: spec.name, required: spec.isRequired, ...aria };
  if (spec.kind === "select") {
    return html`<select ...${common} value=${value} onChange=${read}>
      ${spec.options?.map((option) => html`<option key=${option.value} value=${option.value} selected=${option.value === value}>${option.label}</option>`)}
    </select>`;
  }
  if (spec.kind === "long") return html`<textarea ...${common} rows="3" value=${value} onInput=${read}></textarea>`;
  return html`<input ...${common} type=${INPUT_TYPES[spec.kind]} inputmode=${spec.kind === "decimal" ? "decimal" : undefined}
    min=${spec.min} max=${spec.max} step=${spec.step ?? (spec.kind === "number" ? "any" : undefined)}
    autocomplete=${spec.autocomplete ?? "off"} value=${value} onInput=${read} />`;
}

/**
 * @param {{
 *   spec: FieldSpec,
 *   value: string | boolean,
 *   onInput: (value: any) => void,
 *   fault?: string,
 *   isLabelHidden?: boolean,
 * }} props
 */
export function Field({ spec, value, onInput, fault = "", isLabelHidden = false }) {
  const id = useId();
  const described = [spec.hint && `${id}-hint`, fault && `${id}-fault`].filter(Boolean).join(" ") || undefined;
  const aria = { "aria-describedby": described, "aria-invalid": fault ? "true" : undefined };
  const hint = spec.hint && html`<p class="hint" id=${`${id}-hint`}>${spec.hint}</p>`;
  const wrong = fault && html`<p class="fault" id=${`${id}-fault`}>${fault}</p>`;
  if (spec.kind === "tick") {
    const tick = (/** @type {{ currentTarget: HTMLInputElement }} */ event) => onInput(event.currentTarget.checked);
    return html`<div class="field field-tick">
      <label for=${id}><input id=${id} type="checkbox" checked=${value === true} onChange=${tick} ...${aria} /> <span>${spec.label}</span></label>
      ${hint}${wrong}
    </div>`;
  }
  return html`<div class=${`field field-${spec.kind}`}>
    <label class=${isLabelHidden ? "unseen" : ""} for=${id}>${spec.label}</label>
    ${hint}
    <div class="field-row">${control(spec, id, value, onInput, aria)}${spec.unit && html`<span class="unit">${spec.unit}</span>`}</div>
    ${wrong}
  </div>`;
}
