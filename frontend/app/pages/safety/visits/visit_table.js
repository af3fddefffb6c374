/** Visits as a dense table; rows are chosen for one link, and the risk says how it is worked out. */
import { html } from "htm/preact";
import { Details } from "../../../components/details.js";
import { WorkingSteps } from "../../../components/working_steps.js";
import { VISIT_STATE_WORDS } from "../../../lib/inspection_words.js";
import { formatPounds } from "../../../lib/money.js";
import { formatShortDate } from "../../../lib/record_dates.js";
import { whenWords } from "../../../lib/visit_words.js";

/** @typedef {import("../../../api/visit_types.d.ts").VisitRow} VisitRow */

/** @param {{ row: VisitRow, isChosen: boolean, onChoose: (rows: VisitRow[], isIn: boolean) => void }} props */
function VisitLine({ row, isChosen, onChoose }) {
  return html`<tr>
    <td data-name="Choose"><label class="row-tick"><input type="checkbox" checked=${isChosen} onChange=${() => onChoose([row], !isChosen)} /><span class="unseen">Choose the visit to ${row.reference}</span></label></td>
    <th scope="row"><a href=${`/visits/${row.id}`}>${row.reference}</a><span class="cell-note">${row.outlets.join(", ")}</span></th>
    <td data-name="State">${VISIT_STATE_WORDS[row.state]}${row.reason && html`<span class="cell-note">${row.reason}</span>`}</td>
    <td data-name="Area">${row.area || "not known"}</td>
    <td data-name="Asked for" class="nowrap">${formatShortDate(row.asked_at)}</td>
    <td data-name="When"><span>${whenWords(row).split(", ").map((part) => html`<span key=${part} class="line nowrap">${part}</span>`)}</span><span class="cell-note">${row.electrician_name || "nobody yet"}</span></td>
    <td data-name="Cost" class="number">${row.cost_pence === null ? "not known" : formatPounds(String(row.cost_pence))}</td>
    <td data-name="Risk" class="risk-cell"><${Details} summary=${html`<span class="unseen">Risk of ${row.reference}: </span>${row.risk}`} class="risk">${() => html`<${WorkingSteps} steps=${row.risk_working} />`}</${Details}></td>
  </tr>`;
}

/** @param {{ rows: VisitRow[], chosen: VisitRow[], onChoose: (rows: VisitRow[], isIn: boolean) => void }} props */
export function VisitTable({ rows, chosen, onChoose }) {
  const ids = new Set(chosen.map(({ id }) => id));
  const isAll = rows.every(({ id }) => ids.has(id));
  return html`<div class="table-box" tabindex="0" role="region" aria-label="Table of visits"><table class="table stacking dense">
    <caption class="unseen">Visits with their state, area, date, cost and risk</caption>
    <thead><tr>
      <th scope="col"><label class="row-tick"><input type="checkbox" checked=${isAll} onChange=${() => onChoose(rows, !isAll)} /><span class="unseen">Choose all visits shown</span></label></th>
      <th scope="col">Home</th><th scope="col">State</th><th scope="col">Area</th><th scope="col">Asked for</th><th scope="col">When</th><th scope="col" class="number">Cost</th><th scope="col">Risk</th>
    </tr></thead>
    <tbody>${rows.map((row) => html`<${VisitLine} key=${row.id} row=${row} isChosen=${ids.has(row.id)} onChoose=${onChoose} />`)}</tbody>
  </table></div>`;
}
