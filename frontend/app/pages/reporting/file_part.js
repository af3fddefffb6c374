/** One part of a safety file: its notes, facts and tables, as they go on paper too. */
import { html } from "htm/preact";
import { Facts } from "../../components/facts.js";

/** @typedef {import("../../api/types.d.ts").FilePart} FilePart */
/** @typedef {import("../../api/types.d.ts").FileTable} FileTable */

/** @param {{ table: FileTable }} props */
function Table({ table }) {
  const held = table.total - table.rows.length;
  return html`<h3>${table.title}</h3>
    ${held > 0 && html`<p class="small">The newest ${table.rows.length} of ${table.total} are listed; ${held} earlier ones are kept.</p>`}
    ${table.rows.length === 0
      ? html`<p class="quiet">${table.empty}</p>`
      : html`<div class="table-box" tabindex="0" role="region" aria-label=${table.title}><table class="table stacking dense file-table">
          <caption class="unseen">${table.title}</caption>
          <thead><tr>${table.heads.map((head) => html`<th key=${head} scope="col">${head}</th>`)}</tr></thead>
          <tbody>${table.rows.map((row, place) => html`<tr key=${place}>${row.map((cell, at) => html`<td key=${at} data-name=${table.heads[at]}><span>${cell}</span></td>`)}</tr>`)}</tbody>
        </table></div>`}`;
}

/** @param {{ part: FilePart }} props */
export function FilePartSection({ part }) {
  return html`<section id=${part.name} class="file-part" aria-labelledby=${`${part.name}-title`}>
    <h2 id=${`${part.name}-title`}>${part.title}</h2>
    ${part.notes.map((note) => html`<p key=${note} class="small">${note}</p>`)}
    ${part.facts.length > 0 && html`<${Facts} rows=${part.facts} class="facts-wide file-facts" />`}
    ${part.tables.map((table) => html`<${Table} key=${table.title} table=${table} />`)}
  </section>`;
}
