/** Any of a few choices, each with a tick; the value is the chosen ones with commas between. */
import { html } from "htm/preact";
import { useId } from "preact/hooks";

/**
 * @param {{ spec: import("../lib/form_values.js").FieldSpec, value: string, onInput: (value: string) => void, fault?: string }} props
 */
export function TickGroup({ spec, value, onInput, fault = "" }) {
  const id = useId();
  const chosen = value.split(",").filter(Boolean);
  const described = [spec.hint && `${id}-hint`, fault && `${id}-fault`].filter(Boolean).join(" ") || undefined;
  const tick = (/** @type {string} */ one, /** @type {boolean} */ isOn) =>
    onInput((spec.options ?? []).map((option) => option.value).filter((other) => (other === one ? isOn : chosen.includes(other))).join(","));
  return html`<fieldset class="tick-group" aria-describedby=${described}>
    <legend>${spec.label}</legend>
    ${spec.hint && html`<p class="hint" id=${`${id}-hint`}>${spec.hint}</p>`}
    ${spec.options?.map((option) => html`<div class="field field-tick" key=${option.value}><label>
      <input type="checkbox" name=${spec.name} checked=${chosen.includes(option.value)}
        onChange=${(/** @type {{ currentTarget: HTMLInputElement }} */ event) => tick(option.value, event.currentTarget.checked)} />
      <span>${option.label}</span></label></div>`)}
    ${fault && html`<p class="fault" id=${`${id}-fault`}>${fault}</p>`}
  </fieldset>`;
}
