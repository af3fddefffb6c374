/** What to bear in mind with a plan. */
import { html } from "htm/preact";

/** @param {{ cautions: string[] }} props */
export function PlanCautions({ cautions }) {
  if (cautions.length === 0) return null;
  return html`<div class="note"><p class="note-title">Please note</p>
    <ul>${cautions.map((text) => html`<li key=${text}>${text}</li>`)}</ul></div>`;
}
