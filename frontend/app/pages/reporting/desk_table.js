/** The homes of the safety desk as a dense table; on a phone each row becomes a card. */
import { html } from "htm/preact";
import { ClearanceTag } from "../../components/clearance_tag.js";
import { Details } from "../../components/details.js";
import { daysWords } from "../../lib/desk_query.js";
import { datesInWords, formatShortDate } from "../../lib/record_dates.js";
import { formatInstant } from "../../lib/time.js";
import { readable } from "../../lib/wording.js";

/** @typedef {import("../../api/types.d.ts").DeskRow} DeskRow */

const ZONE = "Europe/London";
const SEEN_AT_ONCE = 1;

/** Columns that sort, and the sort that comes first when they are chosen. @type {Record<string, string>} */
const SORTED = {
  Home: "reference", Clearance: "clearance", "Next recheck": "next_recheck_on", Told: "-told_at",
  Inspected: "last_inspection_on", Checked: "last_check_at",
};

const bare = (/** @type {string} */ sort) => sort.replace(/^-/, "");

/** @param {{ name: string, sort: string, onSort: (sort: string) => void }} props */
function Head({ name, sort, onSort }) {
  const first = SORTED[name];
  if (!first) return html`<th scope="col">${name}</th>`;
  const isThis = bare(sort) === bare(first);
  const state = isThis ? (sort.startsWith("-") ? "descending" : "ascending") : undefined;
  const other = first.startsWith("-") ? bare(first) : `-${first}`;
  return html`<th scope="col" aria-sort=${state}>
    <button type="button" class="sort" onClick=${() => onSort(sort === first ? other : first)}>${name}
      <span aria-hidden="true">${state === "ascending" ? " ↑" : state === "descending" ? " ↓" : ""}</span></button></th>`;
}

/** @param {{ missing: string[] }} props */
function Missing({ missing }) {
  if (missing.length === 0) return html`Nothing`;
  const rest = missing.slice(SEEN_AT_ONCE);
  return html`${datesInWords(missing[0])}
    ${rest.length > 0 && html`<${Details} class="in-cell" summary=${`${rest.length} more`}>${() =>
      html`<ul>${rest.map((one) => html`<li key=${one}>${datesInWords(one)}</li>`)}</ul>`}</${Details}>`}`;
}

/** @param {{ row: DeskRow }} props */
function Told({ row: { told, unread_count: unread } }) {
  if (!told) return html`Nobody`;
  return html`${told.name}<span class="cell-note">${formatInstant(told.told_at, ZONE)}, ${told.read_at ? "read" : "not read"}</span>
    ${unread > 0 && html`<strong class="cell-note overdue">${unread === 1 ? "1 unread" : `${unread} unread`}</strong>`}`;
}

/** @param {{ row: DeskRow }} props */
function Due({ row }) {
  if (!row.next_recheck_on || row.days_left === null) return html`none set`;
  const isLate = row.days_left < 0;
  return html`${formatShortDate(row.next_recheck_on)}
    <span class=${isLate ? "cell-note overdue" : "cell-note"}>${daysWords(row.days_left)}${row.overdue_count > 1 ? `, ${row.overdue_count} overdue` : ""}</span>`;
}

/**
 * Let the arrow keys walk from row to row.
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

/** @param {{ row: DeskRow, isChosen: boolean, onChoose: (isChosen: boolean) => void }} props */
function Row({ row, isChosen, onChoose }) {
  const choose = (/** @type {{ currentTarget: HTMLInputElement }} */ event) => onChoose(event.currentTarget.checked);
  return html`<tr class=${isChosen ? "is-chosen" : ""}>
    <td data-name="Choose" class="choose"><label><span class="unseen">Choose ${row.reference}</span>
      <input type="checkbox" data-row checked=${isChosen} onChange=${choose} onKeyDown=${walk} /></label></td>
    <th scope="row"><a href=${`/households/${row.id}/safety`}>${row.reference}</a><span class="cell-note">${row.area}</span></th>
    <td data-name="Clearance"><${ClearanceTag} clearance=${row.clearance} />
      <span class="cell-note">${row.since_on ? `since ${formatShortDate(row.since_on)}` : "since: not known"}</span></td>
    <td data-name="Next recheck"><${Due} row=${row} /></td>
    <td data-name="Missing"><div><${Missing} missing=${row.missing} /></div></td>
    <td data-name="Told"><${Told} row=${row} /></td>
    <td data-name="Visit">${row.visit ? readable(row.visit.state) : "none"}
      ${row.visit?.agreed_on && html`<span class="cell-note">${formatShortDate(row.visit.agreed_on)}</span>`}</td>
    <td data-name="Inspected">${row.last_inspection_on ? formatShortDate(row.last_inspection_on) : "never"}</td>
    <td data-name="Checked">${row.last_check_at ? formatShortDate(row.last_check_at) : "never"}</td>
  </tr>`;
}

/**
 * @param {{ rows: DeskRow[], sort: string, onSort: (sort: string) => void, isChosen: (id: string) => boolean,
 *   onChoose: (ids: string[], isChosen: boolean) => void }} props
 */
export function DeskTable({ rows, sort, onSort, isChosen, onChoose }) {
  const isAll = rows.every(({ id }) => isChosen(id));
  const head = (/** @type {string} */ name) => html`<${Head} name=${name} sort=${sort} onSort=${onSort} />`;
  const chooseAll = (/** @type {{ currentTarget: HTMLInputElement }} */ event) =>
    onChoose(rows.map(({ id }) => id), event.currentTarget.checked);
  return html`<div class="table-box" tabindex="0" role="region" aria-label="Table of homes"><table class="table stacking dense desk">
    <caption class="unseen">Homes of the scheme with clearance, next recheck, what is missing, and who was told when</caption>
    <thead><tr>
      <th scope="col" class="choose"><label><span class="unseen">Choose all on this page</span>
        <input type="checkbox" checked=${isAll} onChange=${chooseAll} /></label></th>
      ${head("Home")}${head("Clearance")}${head("Next recheck")}${head("Missing")}${head("Told")}${head("Visit")}
      ${head("Inspected")}${head("Checked")}
    </tr></thead>
    <tbody>${rows.map((row) => html`<${Row} key=${row.id} row=${row} isChosen=${isChosen(row.id)}
      onChoose=${(/** @type {boolean} */ is) => onChoose([row.id], is)} />`)}</tbody>
  </table></div>`;
}
