/** The form of one outlet, a step on a screen; every entry is kept at once. */
import { html } from "htm/preact";
import { Page } from "../../../components/page.js";
import { STEPS } from "../../../lib/inspection_fields.js";
import { outletFaults } from "../../../lib/inspection_faults.js";
import { outletForm, progressOf, withCertificateOf, withOutlet } from "../../../lib/inspection_form.js";
import { localDay } from "../../../lib/time.js";
import { hrefOf } from "./address.js";
import { DocumentStep } from "./document_step.js";
import { DraftChoice, DraftStatus } from "./draft_status.js";
import { ExtensionNamed } from "./extension_named.js";
import { outletsOf } from "./home_view.js";
import { ObservationsStep } from "./observations_step.js";
import { StepFields } from "./step_fields.js";

/** @typedef {import("../../../lib/inspection_form.js").OutletForm} OutletForm */
/** @typedef {import("../../../lib/inspection_fields.js").InspectionStep} InspectionStep */

/**
 * How a step stands, in a few words.
 * @param {InspectionStep} step
 * @param {OutletForm} form
 * @param {string} kind
 * @returns {string}
 */
export function stepWords(step, form, kind) {
  if (step.id === "document") return form.document ? "chosen" : "none yet";
  if (step.id === "observations") return form.observations.length === 0 ? "none" : String(form.observations.length);
  const { asked, answered } = progressOf(step, form, kind);
  return asked === 0 ? "" : `${answered} of ${asked}`;
}

/** @param {{ visitId: string, outlet: import("../../../api/types.d.ts").Outlet, form: OutletForm, here: string }} props */
function StepNav({ visitId, outlet, form, here }) {
  return html`<nav aria-label="Steps"><ol class="steps">${STEPS.map((step) => {
    const words = stepWords(step, form, outlet.kind);
    return html`<li key=${step.id}><a href=${hrefOf({ visit: visitId, outlet: outlet.id, step: step.id })} aria-current=${step.id === here ? "step" : undefined}>
      ${step.title}${words && html`<span class="step-count"> ${words}</span>`}</a></li>`;
  })}</ol></nav>`;
}

/** @param {{ visitId: string, outletId: string, place: number }} props place: of the step now shown */
function Onwards({ visitId, outletId, place }) {
  const [before, after] = [STEPS[place - 1], STEPS[place + 1]];
  return html`<div class="form-actions onwards">
    ${after
      ? html`<a class="button button-main" href=${hrefOf({ visit: visitId, outlet: outletId, step: after.id })}>Next: ${after.title.toLowerCase()}</a>`
      : html`<a class="button button-main" href=${hrefOf({ visit: visitId })}>Back to the home</a>`}
    ${before && html`<a class="button" href=${hrefOf({ visit: visitId, outlet: outletId, step: before.id })}>Back</a>`}
  </div>`;
}

/**
 * One certificate is often for several outlets.
 * @param {{
 *   view: import("../../../api/visit_types.d.ts").VisitView, outletId: string,
 *   draft: import("../../../lib/inspection_form.js").VisitForm, change: import("./step_fields.js").Change,
 * }} props
 */
function SameCertificate({ view, outletId, draft, change }) {
  const hasOwn = outletForm(draft, outletId).values.certificate_number !== undefined;
  const others = outletsOf(view).filter(({ id }) => id !== outletId && outletForm(draft, id).values.certificate_number !== undefined);
  if (hasOwn || others.length === 0) return null;
  return others.map(({ id, label }) => html`<button key=${id} type="button" class="button" onClick=${() => change((old) => withCertificateOf(old, outletForm(draft, id)))}>Same certificate as ${label}</button>`);
}

/**
 * @param {{
 *   view: import("../../../api/visit_types.d.ts").VisitView, kept: import("./one_visit.js").Kept,
 *   outlet: import("../../../api/types.d.ts").Outlet, place: import("./address.js").Place, isChecked: boolean,
 * }} props isChecked: the summary has been opened, so what is missing is marked too
 */
export function OutletSteps({ view, kept, outlet, place, isChecked }) {
  const { keeper, sender } = kept;
  const form = outletForm(keeper.draft.value, outlet.id);
  const found = STEPS.findIndex(({ id }) => id === place.step);
  const at = Math.max(0, found);
  const step = STEPS[at];
  const change = (/** @type {(old: OutletForm) => OutletForm} */ next) => keeper.change((old) => withOutlet(old, outlet.id, next));
  const faults = isChecked ? outletFaults(form, localDay(Date.now(), view.home.zone)) : [];
  const faultOf = (/** @type {string} */ field) => faults.filter((fault) => fault.field === field).map(({ text }) => text).join(" ");
  const shared = { form, change, faultOf };
  return html`<${Page} title=${step.title} class="page-inspect"
    lead=${html`<strong>${outlet.label}</strong>, <a href=${hrefOf({ visit: view.visit_id })}>home ${view.home.reference}</a>. ${step.lead}`}>
    <${DraftStatus} keeper=${keeper} isPending=${!sender.isDone()} />
    <${DraftChoice} keeper=${keeper} />
    <section class="form" aria-label=${step.title} key=${`${outlet.id}-${step.id}`}>
      ${step.id === "certificate" && html`<${SameCertificate} view=${view} outletId=${outlet.id} draft=${keeper.draft.value} change=${change} />`}
      <${StepFields} ...${shared} step=${step} kind=${outlet.kind} />
      ${step.id === "observations" && html`<${ObservationsStep} ...${shared} />`}
      ${step.id === "limits" && html`<${ExtensionNamed} ...${shared} />`}
      ${step.id === "document" && html`<${DocumentStep} kept=${kept} outletId=${outlet.id} chosen=${form.document} />`}
    </section>
    <${Onwards} visitId=${view.visit_id} outletId=${outlet.id} place=${at} />
    <${StepNav} visitId=${view.visit_id} outlet=${outlet} form=${form} here=${step.id} />
  </${Page}>`;
}
