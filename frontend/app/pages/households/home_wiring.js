/** Supply, circuits, outlets and leads of a home. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { Facts } from "../../components/facts.js";
import { LEAD_FIELDS, LEAD_KIND_FIELD, NEW_OUTLET, OUTLET_KIND_FIELD, outletFields } from "../../lib/home_fields.js";
import { formatAmps } from "../../lib/quantity.js";
import { formatDate } from "../../lib/time.js";
import { EARTHING_WORDS, LEAD_KIND_WORDS, OUTLET_KIND_WORDS, PLACE_WORDS, RUN_KIND_WORDS, YES_NO_WORDS } from "../../lib/wording.js";
import { PartEdit } from "./part_edit.js";
import { PartForm } from "./part_form.js";
import { SupplyForm } from "./supply_form.js";

/** @typedef {import("../../api/types.d.ts").Household} Household */
/** @typedef {import("../../api/types.d.ts").Circuit} Circuit */

/**
 * What an item is, whose it is, and since when.
 * @param {{ maker_model: string, serial_or_batch: string, supplied_by: string, since_on: string | null }} item
 * @returns {string}
 */
export function identityWords(item) {
  return [
    item.maker_model || "maker and model not known",
    item.serial_or_batch && `no. ${item.serial_or_batch}`,
    item.supplied_by && `supplied by ${item.supplied_by}`,
    item.since_on && `since ${formatDate(item.since_on)}`,
  ].filter(Boolean).join(" · ");
}

/** @param {{ circuit: Circuit }} props */
function CircuitRuns({ circuit }) {
  const runs = [...circuit.runs].sort((left, right) => left.position - right.position);
  return html`<div class="circuit"><h3>Circuit: ${circuit.label}</h3><ol class="runs">${runs.map((run) => html`<li key=${run.position}>
    ${[RUN_KIND_WORDS[run.kind], run.device, run.cable, run.method, run.length_m === null ? "length not known" : `${run.length_m} m`].filter(Boolean).join(" · ")}
  </li>`)}</ol></div>`;
}

/** @param {{ home: Household, onChange: () => void }} props */
function Outlets({ home, onChange }) {
  const [edited, setEdited] = useState("");
  const fields = outletFields(home);
  return html`<h3>Outlets</h3>
    <ul class="row-list">${home.outlets.map((outlet) => html`<li key=${outlet.id} class="row-item">
      ${edited === outlet.id
        ? html`<${PartEdit} householdId=${home.id} part="outlets" partId=${outlet.id} fields=${fields} done="Outlet saved; the plan is being worked out anew."
            onChange=${onChange} onCancel=${() => setEdited("")} />`
        : html`<div><p><strong>${outlet.label}</strong>: ${OUTLET_KIND_WORDS[outlet.kind]}, ${PLACE_WORDS[outlet.place].toLowerCase()}, ${formatAmps(outlet.limit_a)}${outlet.phases > 1 ? ` on ${outlet.phases} phases` : ""}</p>
            <p class="small">${identityWords(outlet)}</p></div>
            <button type="button" class="button button-quiet" onClick=${() => setEdited(outlet.id)}>Change<span class="unseen"> ${outlet.label}</span></button>`}
    </li>`)}</ul>
    <${PartForm} householdId=${home.id} part="outlets" button="Add an outlet" fields=${[OUTLET_KIND_FIELD, ...fields]} start=${NEW_OUTLET} extra=${{ is_tethered: null }}
      done="Outlet added. It may be used once an inspection that names it is recorded." onChange=${onChange} />`;
}

/** @param {{ home: Household, onChange: () => void }} props */
function Leads({ home, onChange }) {
  const [edited, setEdited] = useState("");
  return html`<h3>Leads</h3>
    <ul class="row-list">${home.leads.map((lead) => html`<li key=${lead.id} class="row-item">
      ${edited === lead.id
        ? html`<${PartEdit} householdId=${home.id} part="leads" partId=${lead.id} fields=${LEAD_FIELDS} done="Lead saved; the plan is being worked out anew."
            onChange=${onChange} onCancel=${() => setEdited("")} />`
        : html`<div><p><strong>${lead.label}</strong>: ${LEAD_KIND_WORDS[lead.kind]}, rated ${formatAmps(lead.rated_a)}, set to ${formatAmps(lead.set_a)}</p>
            <p class="small">${identityWords(lead)}</p></div>
            <button type="button" class="button button-quiet" onClick=${() => setEdited(lead.id)}>Change<span class="unseen"> ${lead.label}</span></button>`}
    </li>`)}</ul>
    <${PartForm} householdId=${home.id} part="leads" button="Add a lead" fields=${[LEAD_KIND_FIELD, ...LEAD_FIELDS]} done="Lead added." onChange=${onChange} />`;
}

/** @param {{ home: Household, onChange: () => void }} props */
export function HomeWiring({ home, onChange }) {
  const { supply } = home;
  return html`<section id="wiring" class="card" aria-labelledby="wiring-title">
    <h2 id="wiring-title">Supply and outlets</h2>
    ${supply
      ? html`<${Facts} rows=${[
          ["Service fuse", formatAmps(supply.fuse_a)],
          ["Phases", String(supply.phases)],
          ["Earthing", EARTHING_WORDS[supply.earthing]],
          ["Looped supply", YES_NO_WORDS[supply.looped]],
          ["Other large loads", supply.other_loads || "none recorded"],
        ]} />`
      : html`<p>The supply is not known.</p>`}
    <${SupplyForm} home=${home} onChange=${onChange} />
    ${home.circuits.map((circuit) => html`<${CircuitRuns} key=${circuit.id} circuit=${circuit} />`)}
    <${Outlets} home=${home} onChange=${onChange} />
    <${Leads} home=${home} onChange=${onChange} />
  </section>`;
}
