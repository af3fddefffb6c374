/** Names and values in two columns. */
import { html } from "htm/preact";

/** @param {{ rows: [string, unknown][], class?: string }} props */
export function Facts({ rows, class: name = "" }) {
  return html`<dl class=${`facts ${name}`}>
    ${rows.map(([term, value]) => html`<div key=${term}><dt>${term}</dt><dd>${value}</dd></div>`)}
  </dl>`;
}
