/** The homes in the order in which the budget should reach them; on a phone each row becomes a card. */
import { html } from "htm/preact";
import { ClearanceTag } from "../../../components/clearance_tag.js";
import { formatPounds } from "../../../lib/money.js";
import { formatShortDate } from "../../../lib/record_dates.js";
import { PLACE_WORDS, WORK_WORDS, costNote, paybackWords } from "../../../lib/upgrade_words.js";

/** @typedef {import("../../../api/upgrade_types.d.ts").RankedHome} RankedHome */

/** @param {{ row: RankedHome }} props */
function Row({ row }) {
  const { work } = row;
  const note = work && costNote(work);
  return html`<tr class=${row.is_paid_for ? "is-paid" : ""}>
    <td class="number" data-name="Rank">${row.rank}</td>
    <th scope="row"><a href=${`/households/${row.household_id}`}>${row.reference}</a></th>
    <td data-name="Place"><strong>${PLACE_WORDS[row.place]}</strong><span class="cell-note">${row.is_paid_for ? "paid for" : "not paid for"}</span></td>
    <td data-name="Clearance"><${ClearanceTag} clearance=${row.clearance} /></td>
    <td data-name="Work">${work ? WORK_WORDS[work.work] : "none"}</td>
    <td class="number" data-name="Cost">${work && formatPounds(work.cost_pence)}${note && html`<span class="cell-note">${note === "your quote" ? "quoted" : note}</span>`}</td>
    <td class="number" data-name="Saved a year">${work && formatPounds(work.saved_pence)}</td>
    <td class="number" data-name="Pays back in">${work && paybackWords(work)}</td>
    <td data-name="Why"><span>${row.why}</span><span class="cell-note">${row.reckoned_at ? `reckoned ${formatShortDate(row.reckoned_at)}` : ""}</span></td>
  </tr>`;
}

/** @param {{ rows: RankedHome[] }} props */
export function RankedTable({ rows }) {
  return html`<div class="table-box" tabindex="0" role="region" aria-label="Table of homes in order"><table class="table stacking dense ranked">
    <caption class="unseen">Homes of the scheme in the order in which the budget should reach them</caption>
    <thead><tr><th scope="col" class="number">Rank</th><th scope="col">Home</th><th scope="col">Place</th><th scope="col">Clearance</th>
      <th scope="col">Work</th><th scope="col" class="number">Cost</th><th scope="col" class="number">Saved a year</th>
      <th scope="col" class="number">Pays back in</th><th scope="col">Why</th></tr></thead>
    <tbody>${rows.map((row) => html`<${Row} key=${row.household_id} row=${row} />`)}</tbody>
  </table></div>`;
}
