/** What was reported and still stands: what it stops and what lifts it from each, with what to do now. */
import { html } from "htm/preact";
import { getSigns } from "../../../api/checks.js";
import { Details } from "../../../components/details.js";
import { Loaded } from "../../../components/loaded.js";
import { PhoneLine } from "../../../components/phone_line.js";
import { formatRecordInstant } from "../../../lib/record_dates.js";
import { useResource } from "../../../state/resource.js";

/** @typedef {import("../../../api/check_types.d.ts").SafetyReport} SafetyReport */
/** @typedef {import("../../../api/check_types.d.ts").SignTable} SignTable */

/** @param {{ householdId: string, sign: string }} props */
function DoNow({ householdId, sign }) {
  const table = useResource((reading) => getSigns(householdId, reading), [householdId]);
  return html`<${Loaded} of=${table} lines=${1} size="line">${(/** @type {SignTable} */ { signs, emergency }) => html`<ol>
    ${(signs.find((one) => one.sign === sign)?.do_now ?? []).map((line) => html`<li key=${line}><${PhoneLine} line=${line} emergency=${emergency} /></li>`)}</ol>`}</${Loaded}>`;
}

/** @param {{ householdId: string, reports: SafetyReport[], zone: string }} props reports: those that are open */
export function OpenReports({ householdId, reports, zone }) {
  if (reports.length === 0) return null;
  return html`<section class="card" aria-labelledby="open-reports"><h2 id="open-reports">Reported and not lifted</h2>
    <ul class="row-list">${reports.map((report) => html`<li key=${report.id} class="row-item"><div>
      <p><strong>${report.words}</strong></p>
      <p class="small">Reported ${formatRecordInstant(report.reported_at, zone, Date.now())}${report.note && `. ${report.note}`}</p>
      <ul>${report.items.map((item) => html`<li key=${item.item_kind + item.item_id}><strong>${item.label}:</strong> ${item.lifted_by ? `lifted, ${item.lifted_by}` : `lifted by ${item.lifts}`}</li>`)}</ul>
      <${Details} summary=${html`What to do now<span class="unseen">: ${report.words}</span>`}>${() => html`<${DoNow} householdId=${householdId} sign=${report.sign} />`}</${Details}>
    </div></li>`)}</ul>
  </section>`;
}
