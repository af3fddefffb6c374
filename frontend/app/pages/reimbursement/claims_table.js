/** Claims as a dense table; boxes are chosen one by one, with Shift a range, and the arrow keys walk the rows. */
import { html } from "htm/preact";
import { useMemo, useRef } from "preact/hooks";
import { isToDecide } from "../../lib/claim_choice.js";
import { claimFlags, claimMiles, monthWords, pounds } from "../../lib/claim_words.js";
import { formatShortDate } from "../../lib/record_dates.js";
import { ClaimTag } from "./own_claims.js";

/** @typedef {import("../../api/claim_types.d.ts").ClaimRow} ClaimRow */
/** @typedef {(id: string, isOn: boolean, isRange: boolean) => void} Choose */

/**
 * Let the arrow keys walk from box to box.
 * @param {KeyboardEvent & { currentTarget: HTMLInputElement }} event
 */
function walk(event) {
  const step = event.key === "ArrowDown" ? 1 : event.key === "ArrowUp" ? -1 : 0;
  if (step === 0) return;
  const boxes = [...(event.currentTarget.closest("table")?.querySelectorAll("input[data-row]") ?? [])];
  const next = boxes[boxes.indexOf(event.currentTarget) + step];
  if (next instanceof HTMLElement) {
    event.preventDefault();
    next.focus();
  }
}

/** @param {{ row: ClaimRow, isChosen: boolean, choose: Choose }} props */
function Box({ row, isChosen, choose }) {
  // A change does not say whether Shift was held; the click or key before it does.
  const isRange = useRef(false);
  if (!isToDecide(row)) return null;
  const note = (/** @type {MouseEvent | KeyboardEvent} */ event) => (isRange.current = event.shiftKey);
  const key = (/** @type {KeyboardEvent & { currentTarget: HTMLInputElement }} */ event) => {
    note(event);
    walk(event);
  };
  return html`<label><span class="unseen">Choose the claim of ${row.member_name} for ${monthWords(row.month)}</span>
    <input type="checkbox" data-row checked=${isChosen} onClick=${note} onKeyDown=${key}
      onChange=${(/** @type {{ currentTarget: HTMLInputElement }} */ event) => choose(row.id, event.currentTarget.checked, isRange.current)} /></label>`;
}

/** @param {{ row: ClaimRow, isChosen: boolean, choose: Choose }} props */
function Row({ row, isChosen, choose }) {
  // Hundreds of rows stand here, and a choice changes one of them.
  return useMemo(() => html`<tr class=${isChosen ? "is-chosen" : ""}>
    <td data-name="Choose" class="choose"><${Box} row=${row} isChosen=${isChosen} choose=${choose} /></td>
    <th scope="row"><a href=${`/claims/${row.id}`}>${row.member_name}</a><span class="cell-note">${row.reference}</span></th>
    <td data-name="Month">${monthWords(row.month)}</td>
    <td data-name="State"><${ClaimTag} state=${row.state} /></td>
    <td data-name="Trips" class="number">${row.trip_count}</td>
    <td data-name="Miles" class="number">${claimMiles(row.miles)}</td>
    <td data-name="Total" class="number"><strong>${pounds(row.total_pence)}</strong></td>
    <td data-name="Sent">${row.sent_at ? formatShortDate(row.sent_at) : ""}</td>
    <td data-name="Note"><span>${claimFlags(row).join(". ")}</span></td>
  </tr>`, [row, isChosen]);
}

/**
 * @param {{ rows: ClaimRow[], isChosen: (id: string) => boolean, onChoose: Choose, onAll: (isOn: boolean) => void }} props
 */
export function ClaimsTable({ rows, isChosen, onChoose, onAll }) {
  // Rows that did not change keep the function they were drawn with; it has to act on what is chosen now.
  const latest = useRef(onChoose);
  latest.current = onChoose;
  const choose = useMemo(() => /** @type {Choose} */ ((id, isOn, isRange) => latest.current(id, isOn, isRange)), []);
  const open = rows.filter(isToDecide);
  const isAll = open.length > 0 && open.every(({ id }) => isChosen(id));
  return html`<div class="table-box" tabindex="0" role="region" aria-label="Table of claims"><table class="table stacking dense desk claims-table">
    <caption class="unseen">Claims with member, month, state, miles and total</caption>
    <thead><tr>
      <th scope="col" class="choose">${open.length > 0 && html`<label><span class="unseen">Choose all that can be approved</span>
        <input type="checkbox" checked=${isAll} onChange=${(/** @type {{ currentTarget: HTMLInputElement }} */ event) => onAll(event.currentTarget.checked)} /></label>`}</th>
      <th scope="col">Member</th><th scope="col">Month</th><th scope="col">State</th><th scope="col" class="number">Trips</th>
      <th scope="col" class="number">Miles</th><th scope="col" class="number">Total</th><th scope="col">Sent</th><th scope="col">Note</th>
    </tr></thead>
    <tbody>${rows.map((row) => html`<${Row} key=${row.id} row=${row} isChosen=${isChosen(row.id)} choose=${choose} />`)}</tbody>
  </table></div>`;
}
