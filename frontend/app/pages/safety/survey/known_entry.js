/** A number, text or day with "I do not know" beside it: pressing that empties the entry, and an empty entry means it. */
import { html } from "htm/preact";
import { useId, useRef } from "preact/hooks";
import { UNKNOWN } from "../../../lib/survey_questions.js";

/** @type {Record<string, Record<string, string>>} */
const INPUTS = { number: { type: "number", inputmode: "decimal" }, text: { type: "text" }, date: { type: "date" } };

/**
 * @param {{
 *   question: import("../../../lib/survey_questions.js").Question,
 *   value: string,
 *   onInput: (value: string) => void,
 *   fault?: string,
 * }} props
 */
export function KnownEntry({ question, value, onInput, fault = "" }) {
  const id = useId();
  const input = useRef(/** @type {HTMLInputElement | null} */ (null));
  const described = [question.hint && `${id}-hint`, fault && `${id}-fault`].filter(Boolean).join(" ") || undefined;
  const isUnknown = value === "";
  const toggle = () => {
    // A browser that shows a half-typed number as nothing has to be told as well.
    if (input.current && !isUnknown) input.current.value = "";
    onInput("");
    if (isUnknown) input.current?.focus();
  };
  return html`<div class=${`field field-${question.kind} known-entry`}>
    <label for=${id}>${question.label}</label>
    ${question.hint && html`<p class="hint" id=${`${id}-hint`}>${question.hint}</p>`}
    <div class="known-row">
      <span class="field-row"><input ref=${input} id=${id} name=${question.name} ...${INPUTS[question.kind]} min=${question.min} max=${question.max} step=${question.step}
        autocomplete="off" value=${value} aria-describedby=${described} aria-invalid=${fault ? "true" : undefined}
        onInput=${(/** @type {{ currentTarget: HTMLInputElement }} */ event) => onInput(event.currentTarget.value)} />
        ${question.unit && html`<span class="unit">${question.unit}</span>`}</span>
      <button type="button" class="unknown-button" aria-pressed=${isUnknown} onClick=${toggle}>
        ${question.unknownLabel ?? UNKNOWN.label}<span class="unseen">: ${question.label}</span></button>
    </div>
    ${fault && html`<p class="fault" id=${`${id}-fault`}>${fault}</p>`}
  </div>`;
}
