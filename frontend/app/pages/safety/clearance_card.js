/** One outlet's standing, with its working behind a details element. */
import { html } from "htm/preact";
import { ClearanceTag } from "../../components/clearance_tag.js";
import { Details } from "../../components/details.js";
import { Facts } from "../../components/facts.js";
import { WorkingSteps } from "../../components/working_steps.js";
import { formatAmps } from "../../lib/quantity.js";
import { datesInWords, formatFarInstant } from "../../lib/record_dates.js";
import { isUsable } from "../../lib/plan_words.js";

/** @typedef {import("../../api/types.d.ts").OutletClearance} OutletClearance */

/** @param {{ clearance: OutletClearance, zone: string, level?: 2 | 3 }} props */
export function ClearanceCard({ clearance, zone, level = 2 }) {
  const id = `outlet-${clearance.outlet_id}`;
  /** @type {[string, unknown][]} */
  const allowed = [["Current, at most", formatAmps(clearance.limit_a)], ["Valid until", formatFarInstant(clearance.valid_until, zone)]];
  /** @type {[string, unknown][]} */
  const evidence = [["Evidence", datesInWords(clearance.evidence) || "none recorded"]];
  const rows = isUsable(clearance.clearance) ? [...allowed, ...evidence] : evidence;
  return html`<section class="card" aria-labelledby=${id}>
    <div class="card-head"><${`h${level}`} class="card-title" id=${id}>${clearance.outlet_label}</${`h${level}`}><${ClearanceTag} clearance=${clearance.clearance} /></div>
    <${Facts} rows=${rows} />
    ${clearance.missing.length > 0 &&
    html`<p class="list-title">Missing</p><ul>${clearance.missing.map((text) => html`<li key=${text}>${datesInWords(text)}</li>`)}</ul>`}
    ${clearance.next_step && html`<p><strong>Next step:</strong> ${datesInWords(clearance.next_step)}</p>`}
    <${Details} summary="How this is worked out">${() => html`<${WorkingSteps} steps=${clearance.working} />`}</${Details}>
  </section>`;
}
