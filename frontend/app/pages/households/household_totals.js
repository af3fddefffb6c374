/** The sums of the homes in view. */
import { html } from "htm/preact";
import { sumRows } from "../../lib/household_query.js";
import { differencePence, formatPounds } from "../../lib/money.js";
import { counted, formatEnergy } from "../../lib/quantity.js";

/** @param {{ rows: import("../../api/types.d.ts").HouseholdRow[], total: number }} props */
export function HouseholdTotals({ rows, total }) {
  const sum = sumRows(rows);
  const figures = [
    [rows.length === total ? "Homes" : "Homes found", String(total)],
    ["Energy, seven days", formatEnergy(sum.energyKwh)],
    ["Cost by plan", formatPounds(sum.costPence)],
    ["Less than on arrival by", formatPounds(differencePence(sum.onArrivalPence, sum.costPence))],
    ["Shortfall", formatEnergy(sum.shortKwh)],
  ];
  const scope = rows.length === total ? "" : `Energy, cost and shortfall are the sums of the ${counted(rows.length, "home")} on this page. `;
  const unknown = sum.unknownCount > 0 ? `${counted(sum.unknownCount, "home")} without a known cost ${sum.unknownCount === 1 ? "is" : "are"} left out of the cost.` : "";
  return html`<section class="totals" aria-label="Totals">
    <dl class="figures">${figures.map(([term, value]) => html`<div key=${term}><dt>${term}</dt><dd class="nowrap">${value}</dd></div>`)}</dl>
    ${(scope || unknown) && html`<p class="small">${scope}${unknown}</p>`}
  </section>`;
}
