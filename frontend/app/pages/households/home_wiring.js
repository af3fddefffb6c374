/** Supply, circuits, outlets and leads of a home. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { Details } from "../../components/details.js";
import { Facts } from "../../components/facts.js";
import { Later } from "../../components/later.js";
import { LEAD_FIELDS, LEAD_KIND_FIELD, NEW_OUTLET, OUTLET_KIND_FIELD, outletFields } from "../../lib/home_fields.js";
import { formatAmps } from "../../lib/quantity.js";
import { formatDate } from "../../lib/time.js";
import { CABLE_WORDS, DEVICE_WORDS, EARTHING_WORDS, INSTALLED_WORDS, LEAD_KIND_WORDS, LOAD_WORDS, OUTLET_KIND_WORDS, PLACE_WORDS, RCD_WORDS, RUN_KIND_WORDS, YES_NO_WORDS } from "../../lib/wording.js";
import { CircuitAdd, CircuitEdit } from "./circuit_form.js";
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

/**
 * One run in words: what was written of it, else what was chosen.
 * @param {import("../../api/types.d.ts").CircuitRun} run
 * @returns {string}
 */
export function runWords(run) {
  const device = run.device_kind === "not_known" ? "" : `${DEVICE_WORDS[run.device_kind]}${run.device_a ? ` ${run.device_a} A` : ""}`;
  const cable = run.cable_kind === "not_known" ? "" : CABLE_WORDS[run.cable_kind];
  return [
    RUN_KIND_WORDS[run.kind],
    run.device || device,
    run.rcd_type !== "not_known" && `RCD: ${RCD_WORDS[run.rcd_type].toLowerCase()}${run.rcd_ma ? `, ${run.rcd_ma} mA` : ""}`,
    run.cable || [cable, run.cable_mm2 && `${run.cable_mm2} mm²`].filter(Boolean).join(" "),
    run.method || (run.installed && INSTALLED_WORDS[run.installed]),
    run.length_m === null ? run.kind !== "board" && "length not known" : `${run.length_m} m`,
  ].filter(Boolean).join(" · ");
}

/** @param {{ home: Household, circuit: Circuit, onChange: () => void }} props */
function CircuitRuns({ home, circuit, onChange }) {
  const [isEdited, setEdited] = useState(false);
  const saved = () => {
    setEdited(false);
    onChange();
  };
  if (isEdited) return html`<${CircuitEdit} householdId=${home.id} circuitId=${circuit.id} onSaved=${saved} onCancel=${() => setEdited(false)} />`;
  const runs = [...circuit.runs].sort((left, right) => left.position - right.position);
  return html`<div class="circuit"><div class="card-head"><h3>Circuit: ${circuit.label}</h3>
      <button type="button" class="button button-quiet" onClick=${() => setEdited(true)}>Change<span class="unseen"> the circuit ${circuit.label}</span></button></div>
    <ol class="runs">${runs.map((run) => html`<li key=${run.position}>${runWords(run)}</li>`)}</ol>
    <${Details} summary="What it may carry, and how this came about">${() => html`<${Later} props=${{ householdId: home.id, circuitId: circuit.id }}
      load=${() => import("../safety/circuit_arithmetic.js").then((part) => part.CircuitArithmetic)} />`}</${Details}></div>`;
}

/**
 * What the large loads take, as far as it is recorded.
 * @param {import("../../api/types.d.ts").Supply["loads"]} loads
 * @returns {string}
 */
export function loadsWords(loads) {
  return loads.filter(({ power_w }) => power_w !== 0).map(({ kind, power_w }) => `${LOAD_WORDS[kind]}: ${power_w === null ? "not known" : `${power_w / 1000} kW`}`).join(" · ");
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
          ["Other large loads", [supply.other_loads, loadsWords(supply.loads)].filter(Boolean).join(" · ") || "none recorded"],
        ]} />`
      : html`<p>The supply is not known.</p>`}
    <${SupplyForm} home=${home} onChange=${onChange} />
    <${Details} summary="Maximum demand, and how this came about">${() => html`<${Later} props=${{ householdId: home.id }}
      load=${() => import("../safety/demand.js").then((part) => part.Demand)} />`}</${Details}>
    ${home.circuits.map((circuit) => html`<${CircuitRuns} key=${circuit.id} home=${home} circuit=${circuit} onChange=${onChange} />`)}
    <${CircuitAdd} householdId=${home.id} onChange=${onChange} />
    <${Outlets} home=${home} onChange=${onChange} />
    <${Leads} home=${home} onChange=${onChange} />
  </section>`;
}
