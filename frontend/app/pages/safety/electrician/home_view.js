/** One home at the doorstep: what the member answered, what the electrician is asked, and how far each outlet has come. */
import { html } from "htm/preact";
import { Details } from "../../../components/details.js";
import { Facts } from "../../../components/facts.js";
import { Field } from "../../../components/field.js";
import { Page } from "../../../components/page.js";
import { NOT_VERIFIED } from "../../../lib/inspection_words.js";
import { STEPS } from "../../../lib/inspection_fields.js";
import { isTouched, outletForm, progressOf } from "../../../lib/inspection_form.js";
import { counted, formatAmps } from "../../../lib/quantity.js";
import { EARTHING_WORDS, LEAD_KIND_WORDS, OUTLET_KIND_WORDS, PLACE_WORDS, RUN_KIND_WORDS, YES_NO_WORDS } from "../../../lib/wording.js";
import { hrefOf } from "./address.js";
import { DraftChoice, DraftStatus, FromMemory } from "./draft_status.js";

/** @typedef {import("../../../api/visit_types.d.ts").VisitView} VisitView */
/** @typedef {import("../../../api/types.d.ts").Outlet} Outlet */

/** @type {import("../../../lib/form_values.js").FieldSpec[]} */
const SELF = [
  { name: "electrician_name", label: "Your name", kind: "text", isRequired: true, autocomplete: "name" },
  { name: "registration", label: "Body and number of your registration", kind: "text", hint: "As you state it; empty if you have none." },
];

/** @param {VisitView} view @returns {[string, unknown][]} */
function supplyRows({ supply }) {
  if (!supply) return [["Supply", "not known"]];
  return [
    ["Service fuse", supply.fuse_a === null ? "not known" : formatAmps(supply.fuse_a)],
    ["Phases", supply.phases],
    ["Earthing", EARTHING_WORDS[supply.earthing]],
    ["Looped", YES_NO_WORDS[supply.looped]],
    ["Other large loads", supply.other_loads || "none named"],
  ];
}

/** @param {{ view: VisitView }} props */
function MembersAnswers({ view }) {
  return html`<section class="card" aria-labelledby="answers-title"><h2 id="answers-title">What the member answered</h2>
    <p class="small">Answers of a lay person, not verified.</p>
    <${Facts} rows=${supplyRows(view)} />
    <${Details} summary="Circuits, outlets and leads">${() => html`
      ${view.circuits.map((circuit) => html`<div key=${circuit.id}><p class="list-title">Circuit ${circuit.label}</p>
        <ul>${circuit.runs.map((run) => html`<li key=${run.position}>${[RUN_KIND_WORDS[run.kind], run.device, run.cable, run.method,
          run.length_m === null ? "length not known" : `${run.length_m} m`].filter(Boolean).join(", ")}</li>`)}</ul></div>`)}
      ${view.outlets.map((outlet) => html`<div key=${outlet.id}><p class="list-title">${outlet.label}</p>
        <p>${[OUTLET_KIND_WORDS[outlet.kind], PLACE_WORDS[outlet.place], outlet.maker_model || "maker not known"].join(", ")}</p></div>`)}
      ${view.leads.map((lead) => html`<div key=${lead.id}><p class="list-title">${lead.label}</p>
        <p>${LEAD_KIND_WORDS[lead.kind]}, set to ${formatAmps(lead.set_a)} of ${formatAmps(lead.rated_a)}</p></div>`)}`}</${Details}>
  </section>`;
}

/**
 * The outlets that the visit is for.
 * @param {VisitView} view
 * @returns {Outlet[]}
 */
export function outletsOf(view) {
  return view.outlets.filter(({ id }) => view.outlet_ids.includes(id));
}

/**
 * How far an outlet's form has come.
 * @param {import("../../../lib/inspection_form.js").OutletForm} form
 * @param {string} kind
 * @returns {string}
 */
export function outletProgress(form, kind) {
  if (!isTouched(form)) return "Nothing entered yet";
  const counts = STEPS.map((step) => progressOf(step, form, kind));
  const open = counts.reduce((sum, { asked, answered }) => sum + asked - answered, 0);
  return open === 0 ? "Everything answered" : `${counted(open, "entry", "entries")} still open`;
}

/** @param {{ outlet: Outlet, form: import("../../../lib/inspection_form.js").OutletForm, visitId: string }} props */
function OutletItem({ outlet, form, visitId }) {
  return html`<li class="outlet-item"><div><h3>${outlet.label}</h3>
      <p class="small">${OUTLET_KIND_WORDS[outlet.kind]}${outlet.maker_model && `, ${outlet.maker_model}`}${outlet.serial_or_batch && `, no. ${outlet.serial_or_batch}`}</p>
      <p>${outletProgress(form, outlet.kind)}</p></div>
    <a class="button button-wide" href=${hrefOf({ visit: visitId, outlet: outlet.id, step: STEPS[0].id })}>${isTouched(form) ? "Go on" : "Start"}<span class="unseen"> with ${outlet.label}</span></a></li>`;
}

/**
 * @param {{
 *   view: VisitView, kept: import("./one_visit.js").Kept, isFromMemory: boolean,
 *   link: import("../../../api/visit_types.d.ts").LinkView,
 * }} props
 */
export function HomeView({ view, kept, link, isFromMemory }) {
  const { keeper, sender } = kept;
  const draft = keeper.draft.value;
  const entry = (/** @type {string} */ name) => (/** @type {string} */ value) => keeper.change((old) => ({ ...old, [name]: value }));
  return html`<${Page} title=${`Home ${view.home.reference}`} class="page-inspect"
    lead=${html`${[view.home.address, view.home.postcode].filter(Boolean).join(", ")}${link.visits.length > 1 && html` · <a href=${hrefOf({})}>All homes of this link</a>`}`}>
    <${DraftStatus} keeper=${keeper} isPending=${!sender.isDone()} />
    <${DraftChoice} keeper=${keeper} />
    <${FromMemory} isShown=${isFromMemory} />
    ${view.kind === "correction" && html`<p class="note">This link is for a correction: what you submit takes the place of your earlier result, which stays in the record.</p>`}
    ${view.recorded.some((one) => one.is_partial) && html`<p class="note">The certificate is recorded; the readings are still to come.</p>`}
    ${view.reason && html`<p><strong>Why you were asked:</strong> ${view.reason}</p>`}
    <${MembersAnswers} view=${view} />
    ${view.questions.length > 0 && html`<section class="card" aria-labelledby="questions-title"><h2 id="questions-title">What the member could not answer</h2>
      <ul>${view.questions.map((text) => html`<li key=${text}>${text}</li>`)}</ul></section>`}
    <section class="card" aria-labelledby="outlets-title"><h2 id="outlets-title">Outlets to inspect</h2>
      <ul class="outlet-list">${outletsOf(view).map((outlet) => html`<${OutletItem} key=${outlet.id} outlet=${outlet} form=${outletForm(draft, outlet.id)} visitId=${view.visit_id} />`)}</ul></section>
    <section class="card" aria-labelledby="self-title"><h2 id="self-title">About you</h2>
      <div class="form">${SELF.map((spec) => html`<${Field} key=${spec.name} spec=${spec} value=${/** @type {any} */ (draft)[spec.name]} onInput=${entry(spec.name)} />`)}</div>
      <p class="small">${NOT_VERIFIED}</p></section>
    <a class="button button-main button-wide" href=${hrefOf({ visit: view.visit_id, step: "summary" })}>Read over and submit</a>
  </${Page}>`;
}
