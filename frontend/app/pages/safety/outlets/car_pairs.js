/** Each car with its lead and its outlet: what it would draw, what may flow there for hours, and the answer. */
import { html } from "htm/preact";
import { ClearanceTag } from "../../../components/clearance_tag.js";
import { Details } from "../../../components/details.js";
import { Facts } from "../../../components/facts.js";
import { WorkingSteps } from "../../../components/working_steps.js";
import { formatAmps } from "../../../lib/quantity.js";

/** @typedef {import("../../../api/extension_types.d.ts").CarPair} CarPair */

/** @param {{ pair: CarPair }} props */
function Pair({ pair }) {
  const name = [pair.vehicle_label, pair.lead_label, pair.outlet_label].filter(Boolean).join(", ");
  /** @type {[string, unknown][]} */
  const rows = [
    ["The car would draw", pair.drawn_a === null ? "not known" : formatAmps(pair.drawn_a)],
    ["May flow here for hours", pair.allowed_a === null ? "nothing now" : formatAmps(pair.allowed_a)],
  ];
  if (pair.set_to_a !== null) rows.push(["Set the lead to", formatAmps(pair.set_to_a)]);
  return html`<li class="row-item"><div>
    <div class="card-head"><p><strong>${name}</strong></p><${ClearanceTag} clearance=${pair.clearance} /></div>
    <p>${pair.words.charAt(0).toUpperCase()}${pair.words.slice(1)}.</p>
    <${Facts} rows=${rows} />
    ${pair.working.length > 0 && html`<${Details} summary=${html`How this came about<span class="unseen">: ${name}</span>`}>${() => html`<${WorkingSteps} steps=${pair.working} />`}</${Details}>`}
  </div></li>`;
}

/** @param {{ pairs: CarPair[] }} props */
export function CarPairs({ pairs }) {
  if (pairs.length === 0) return null;
  return html`<section class="card" aria-labelledby="car-pairs"><h2 class="card-title" id="car-pairs">Car, lead and outlet together</h2>
    <p class="small">A car draws the least of what lead, charging point and its own charger let flow. More than the outlet may carry for hours is never planned.</p>
    <ul class="row-list">${pairs.map((pair) => html`<${Pair} key=${pair.vehicle_id + pair.outlet_id} pair=${pair} />`)}</ul>
  </section>`;
}
