/** The homes as a table; on a phone each row becomes a card. */
import { html } from "htm/preact";
import { ClearanceTag } from "../../components/clearance_tag.js";
import { formatPounds } from "../../lib/money.js";
import { formatEnergy } from "../../lib/quantity.js";
import { formatShortDate } from "../../lib/record_dates.js";
import { isUsable } from "../../lib/plan_words.js";

/** @typedef {import("../../api/types.d.ts").HouseholdRow} HouseholdRow */

/** Columns that sort: by what, and whether the largest comes first when they are chosen. */
const SORTED = /** @type {Record<string, { by: string, isLargestFirst?: boolean }>} */ ({
  Home: { by: "reference" },
  Clearance: { by: "clearance" },
  "Next recheck": { by: "next_recheck_on" },
  "Week's cost": { by: "week_cost", isLargestFirst: true },
  Shortfall: { by: "week_short", isLargestFirst: true },
});

/**
 * The sort that pressing a column's head asks for.
 * @param {{ by: string, isLargestFirst?: boolean }} order
 * @param {string} sort the sort now
 * @returns {string}
 */
export function nextSort({ by, isLargestFirst = false }, sort) {
  const [first, second] = isLargestFirst ? [`-${by}`, by] : [by, `-${by}`];
  return sort === first ? second : first;
}

/** @param {{ name: string, sort: string, onSort: (sort: string) => void, isNumber?: boolean }} props */
function ColumnHead({ name, sort, onSort, isNumber = false }) {
  const order = SORTED[name];
  const css = isNumber ? "number" : "";
  if (!order) return html`<th scope="col" class=${css}>${name}</th>`;
  const state = sort === `-${order.by}` ? "descending" : sort === order.by ? "ascending" : undefined;
  return html`<th scope="col" class=${css} aria-sort=${state}>
    <button type="button" class="sort" onClick=${() => onSort(nextSort(order, sort))}>${name}
      <span aria-hidden="true">${state === "ascending" ? " ↑" : state === "descending" ? " ↓" : ""}</span></button></th>`;
}

/** @param {{ row: HouseholdRow }} props */
function HomeRow({ row }) {
  const short = row.week_short_kwh === null ? "not known" : row.week_short_kwh > 0 ? formatEnergy(row.week_short_kwh) : "none";
  return html`<tr>
    <th scope="row"><a href=${`/households/${row.id}`}>${row.reference}</a><span class="cell-note">${row.member_name}</span></th>
    <td data-name="Clearance"><${ClearanceTag} clearance=${row.clearance} />
      ${row.clearance_until && isUsable(row.clearance) && html`<span class="cell-note">until ${formatShortDate(row.clearance_until)}</span>`}</td>
    <td data-name="Next recheck">${row.next_recheck_on ? formatShortDate(row.next_recheck_on) : "none set"}
      ${row.recheck_overdue && html`<strong class="cell-note overdue">Overdue</strong>`}</td>
    <td data-name="Tariff">${row.tariff_name ?? "not known"}</td>
    <td data-name="Cars" class="number">${row.vehicle_count}</td>
    <td data-name="Energy" class="number">${formatEnergy(row.week_energy_kwh)}</td>
    <td data-name="Week's cost" class="number">${formatPounds(row.week_cost_pence)}</td>
    <td data-name="On arrival" class="number">${formatPounds(row.week_on_arrival_cost_pence)}</td>
    <td data-name="Shortfall" class=${`number ${(row.week_short_kwh ?? 0) > 0 ? "is-short" : ""}`}>${short}</td>
  </tr>`;
}

/** @param {{ rows: HouseholdRow[], sort: string, onSort: (sort: string) => void }} props */
export function HouseholdTable({ rows, sort, onSort }) {
  const head = (/** @type {string} */ name, isNumber = false) =>
    html`<${ColumnHead} name=${name} sort=${sort} onSort=${onSort} isNumber=${isNumber} />`;
  return html`<div class="table-box" tabindex="0" role="region" aria-label="Table of homes"><table class="table stacking compact dense">
    <caption class="unseen">Homes of the scheme, with clearance, recheck, tariff and the coming week's energy and cost</caption>
    <thead><tr>
      ${head("Home")}${head("Clearance")}${head("Next recheck")}${head("Tariff")}${head("Cars", true)}${head("Energy", true)}
      ${head("Week's cost", true)}${head("On arrival", true)}${head("Shortfall", true)}
    </tr></thead>
    <tbody>${rows.map((row) => html`<${HomeRow} key=${row.id} row=${row} />`)}</tbody>
  </table></div>`;
}
