/** Recorded inspections of a home's outlets, and recording another. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { fileAddress } from "../../api/files.js";
import { inspectionStanding } from "../../lib/inspection_standing.js";
import { formatDate } from "../../lib/time.js";
import { CODE_WORDS } from "../../lib/wording.js";
import { session } from "../../state/session.js";
import { ClosureForm } from "./closure_form.js";
import { InspectionForm } from "./inspection_form.js";

/** @typedef {import("../../api/types.d.ts").Household} Household */
/** @typedef {import("../../api/types.d.ts").Inspection} Inspection */

/** @typedef {import("../../lib/inspection_standing.js").Recorded} Recorded */

/** @param {{ inspection: Inspection, outletLabel: string, home: Household, onChange: () => void }} props */
function InspectionItem({ inspection, outletLabel, home, onChange }) {
  const recorded = /** @type {Recorded} */ (/** @type {unknown} */ (inspection));
  const isOfficer = session.value?.roles.includes("safety_officer") === true;
  return html`<li class="row-item"><div>
    <p><strong>${outletLabel}</strong>: recorded as inspected on ${formatDate(inspection.inspected_on)},
      ${inspection.is_satisfactory ? " no C1, C2 or FI open" : " C1, C2 or FI open"}; next due ${formatDate(inspection.next_due_on)}</p>
    <p class="small">Certificate ${inspection.certificate_number || "number not known"}, ${inspection.electrician || "electrician not known"}${recorded.registration ? `, ${recorded.registration} (as stated, not verified)` : ""}</p>
    <p class="small"><strong>${inspectionStanding(recorded)}</strong>${recorded.file_id && html` · <a href=${fileAddress(home.id, recorded.file_id)} download data-outside>Save the document<span class="unseen"> of certificate ${inspection.certificate_number}</span></a>`}</p>
    ${inspection.observations.length > 0 && html`<ul class="small">${inspection.observations.map((one, place) => html`<li key=${place}>
      ${CODE_WORDS[one.code]}. ${one.note} (${one.closed_on ? `closed on ${formatDate(one.closed_on)}` : "open"})
      ${!one.closed_on && isOfficer && html`<${ClosureForm} home=${home} inspectionId=${inspection.id} position=${place} name=${one.note || one.code} onChange=${onChange} />`}</li>`)}</ul>`}
  </div></li>`;
}

/** @param {{ home: Household, onChange: () => void }} props */
export function Inspections({ home, onChange }) {
  const [isOpen, setOpen] = useState(false);
  const labelOf = (/** @type {string} */ id) => home.outlets.find((outlet) => outlet.id === id)?.label ?? "Outlet no longer recorded";
  const close = () => setOpen(false);
  const saved = () => {
    close();
    onChange();
  };
  const latest = [...home.inspections].sort((left, right) => right.inspected_on.localeCompare(left.inspected_on));
  return html`<section id="inspections" class="card" aria-labelledby="inspections-title">
    <h2 id="inspections-title">Inspections</h2>
    ${latest.length === 0 && html`<p>No inspection is recorded, so the outlets' condition is not known.</p>`}
    <ul class="row-list">${latest.map((inspection) => html`<${InspectionItem} key=${inspection.id} inspection=${inspection} outletLabel=${labelOf(inspection.outlet_id)}
      home=${home} onChange=${onChange} />`)}</ul>
    ${home.outlets.length === 0
      ? html`<p>Record an outlet first; an inspection names the outlet it is about.</p>`
      : isOpen
        ? html`<${InspectionForm} home=${home} onSaved=${saved} onCancel=${close} />`
        : html`<button type="button" class="button" onClick=${() => setOpen(true)}>Record a certificate as a claim</button>`}
  </section>`;
}
