/** What went wrong and what to do about it; takes the focus when it appears after a try. */
import { html } from "htm/preact";
import { useEffect, useRef } from "preact/hooks";
import { fieldWords, problemWords, sentence } from "../lib/problem.js";

/**
 * @param {string} field
 * @param {((field: string) => string) | undefined} labelOf
 * @returns {string}
 */
function nameOf(field, labelOf) {
  const name = labelOf ? labelOf(field) : fieldWords(field);
  return name && `${name}: `;
}

/**
 * @param {{ problem: import("../lib/problem.js").Problem | null, retry?: () => void, takesFocus?: boolean,
 *   labelOf?: (field: string) => string }} props labelOf: a field's name as people know it, "" for none
 */
export function ProblemNote({ problem, retry, takesFocus = false, labelOf }) {
  const box = useRef(/** @type {HTMLDivElement | null} */ (null));
  useEffect(() => {
    if (problem && takesFocus) box.current?.focus();
  }, [problem]);
  if (!problem) return null;
  const { headline, advice } = problemWords(problem);
  return html`
    <div class="note note-stop" role="alert" tabindex="-1" ref=${box}>
      <p class="note-title">${headline}</p>
      ${problem.errors.length > 0
        ? html`<ul>${problem.errors.map(({ field, detail }) => html`<li key=${field + detail}>${nameOf(field, labelOf)}${detail}</li>`)}</ul>`
        : problem.detail && html`<p>${sentence(problem.detail)}</p>`}
      <p>${advice}</p>
      ${retry && html`<button type="button" class="button" onClick=${retry}>Try again</button>`}
    </div>
  `;
}
