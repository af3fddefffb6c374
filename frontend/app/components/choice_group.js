/** One choice of a few as large buttons to press; a group of radio buttons to keyboard and screen reader. */
import { html } from "htm/preact";
import { useId } from "preact/hooks";

const SHORT_WORD = 6;
const SHORT_LABEL = 14;

/**
 * How wide the buttons must be, so that no word is cut on a narrow phone.
 * @param {{ label: string }[]} options
 * @returns {"" | "choices-wider" | "choices-rows"}
 */
export function choiceWidth(options) {
  if (options.length > 3 || options.some(({ label }) => label.length > SHORT_LABEL)) return "choices-rows";
  return options.some(({ label }) => label.split(" ").some((word) => word.length > SHORT_WORD)) ? "choices-wider" : "";
}

/**
 * @param {{
 *   spec: import("../lib/form_values.js").FieldSpec,
 *   value: string,
 *   onInput: (value: string) => void,
 *   fault?: string,
 * }} props
 */
export function ChoiceGroup({ spec, value, onInput, fault = "" }) {
  const id = useId();
  const described = [spec.hint && `${id}-hint`, fault && `${id}-fault`].filter(Boolean).join(" ") || undefined;
  return html`<fieldset class="choice-group" aria-describedby=${described}>
    <legend>${spec.label}</legend>
    ${spec.hint && html`<p class="hint" id=${`${id}-hint`}>${spec.hint}</p>`}
    <div class=${`choices ${choiceWidth(spec.options ?? [])}`}>${spec.options?.map((option) => html`<label key=${option.value} class="choice">
      <input type="radio" name=${`${id}-${spec.name}`} value=${option.value} checked=${option.value === value} onChange=${() => onInput(option.value)} />
      <span>${option.label}</span></label>`)}</div>
    ${fault && html`<p class="fault" id=${`${id}-fault`}>${fault}</p>`}
  </fieldset>`;
}
