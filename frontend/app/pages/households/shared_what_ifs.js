/** What a home's member compared and shared, as totals: nothing of when its cars leave. */
import { html } from "htm/preact";
import { listSharedWhatIfs } from "../../api/what_ifs.js";
import { Loaded } from "../../components/loaded.js";
import { formatPounds } from "../../lib/money.js";
import { formatEnergy } from "../../lib/quantity.js";
import { formatInstant } from "../../lib/time.js";
import { yearWords } from "../../lib/what_if_words.js";
import { useResource } from "../../state/resource.js";

/** @typedef {import("../../api/what_if_types.d.ts").SharedWhatIf} SharedWhatIf */

/** @param {{ result: SharedWhatIf["result"], of: (side: import("../../api/what_if_types.d.ts").SideTotals) => string }} props */
function Both({ result, of }) {
  return html`${of(result.now)} <span class="small">now</span><br />${of(result.changed)} <span class="small">changed</span>`;
}

/** @param {{ householdId: string, zone: string }} props */
export function SharedWhatIfs({ householdId, zone }) {
  const shared = useResource((reading) => listSharedWhatIfs(householdId, reading), [householdId]);
  return html`<section id="compared" aria-labelledby="compared-title">
    <h2 id="compared-title">Compared and shared by the member</h2>
    <${Loaded} of=${shared} lines=${1} size="line">${(/** @type {{ items: SharedWhatIf[] }} */ { items }) => items.length === 0
      ? html`<p>Nothing is shared.</p>`
      : html`<div class="table-box" tabindex="0" role="region" aria-label="Table of shared comparisons"><table class="table stacking compact">
          <caption class="unseen">Seven days as they are now and as they would be</caption>
          <thead><tr><th scope="col">Comparison</th><th scope="col" class="number">Cost</th><th scope="col" class="number">Energy</th>
            <th scope="col" class="number">Short</th><th scope="col">A year of such weeks</th></tr></thead>
          <tbody>${items.map(({ id, label, created_at: at, result }) => html`<tr key=${id}>
            <th scope="row">${label}<br /><span class="small">${formatInstant(at, zone)}</span></th>
            <td data-name="Cost" class="number"><${Both} result=${result} of=${(/** @type {any} */ side) => formatPounds(side.cost_pence)} /></td>
            <td data-name="Energy" class="number"><${Both} result=${result} of=${(/** @type {any} */ side) => formatEnergy(side.energy_kwh)} /></td>
            <td data-name="Short" class="number"><${Both} result=${result} of=${(/** @type {any} */ side) => formatEnergy(side.short_kwh)} /></td>
            <td data-name="A year of such weeks">${yearWords(result.yearly)}</td></tr>`)}</tbody>
        </table></div>`}</${Loaded}>
  </section>`;
}
