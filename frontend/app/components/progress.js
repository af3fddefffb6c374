/** How far a run has come: a bar and the same in words. */
import { html } from "htm/preact";
import { useId } from "preact/hooks";

/** @param {{ label: string, done: number, total: number, text: string }} props */
export function Progress({ label, done, total, text }) {
  const id = useId();
  return html`<div class="progress">
    <label for=${id}>${label}</label>
    <progress id=${id} value=${done} max=${Math.max(1, total)}></progress>
    <p class="small" aria-live="polite">${text}</p>
  </div>`;
}
