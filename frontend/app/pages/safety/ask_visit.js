/** Ask for an electrician's visit to some outlets of a home, and what has been asked for: for members and administrators. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { askVisit, listHomeVisits } from "../../api/visits.js";
import { Field } from "../../components/field.js";
import { Loaded } from "../../components/loaded.js";
import { ProblemNote } from "../../components/problem_note.js";
import { fieldFault } from "../../lib/problem.js";
import { formatShortDate } from "../../lib/record_dates.js";
import { VISIT_STATE_WORDS } from "../../lib/inspection_words.js";
import { whenWords } from "../../lib/visit_words.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/visit_types.d.ts").HomeVisit} HomeVisit */
/** @typedef {{ id: string, label: string }} OutletName */

const STILL_TO_COME = new Set(["asked", "date_agreed", "no_access"]);

/** @type {import("../../lib/form_values.js").FieldSpec} */
const REASON = { name: "reason", label: "Why now", kind: "long", hint: "Such as: never inspected, or the socket has been replaced." };

/** @param {{ householdId: string, outlets: OutletName[], onAsked: () => void, onCancel: () => void }} props */
function AskForm({ householdId, outlets, onAsked, onCancel }) {
  const [chosen, setChosen] = useState(outlets.length === 1 ? [outlets[0].id] : /** @type {string[]} */ ([]));
  const [reason, setReason] = useState("");
  const [isEmpty, setEmpty] = useState(false);
  const submission = useSubmission();
  const turn = (/** @type {string} */ id) => (/** @type {boolean} */ isIn) => setChosen((old) => (isIn ? [...old, id] : old.filter((one) => one !== id)));
  const send = (/** @type {Event} */ event) => {
    event.preventDefault();
    setEmpty(chosen.length === 0);
    if (chosen.length === 0) return;
    submission.run(async (key) => {
      await askVisit(householdId, { outlet_ids: outlets.map(({ id }) => id).filter((id) => chosen.includes(id)), reason: reason.trim() }, key);
      say("Asked for. The scheme agrees a date with you.");
      onAsked();
    });
  };
  return html`<form class="form inset" onSubmit=${send} aria-label="Ask for a visit">
    <${ProblemNote} problem=${submission.problem} takesFocus />
    <fieldset><legend class="list-title">Which outlets?</legend>
      ${outlets.map(({ id, label }) => html`<${Field} key=${id} spec=${{ name: `outlet-${id}`, label, kind: "tick" }} value=${chosen.includes(id)} onInput=${turn(id)} />`)}
      ${isEmpty && html`<p class="fault" role="alert">Choose at least one outlet.</p>`}</fieldset>
    <${Field} spec=${REASON} value=${reason} fault=${fieldFault(submission.problem, "reason")} onInput=${setReason} />
    <div class="form-actions"><button class="button button-main" disabled=${submission.isBusy}>${submission.isBusy ? "Asking…" : "Ask for a visit"}</button>
      <button type="button" class="button" onClick=${onCancel}>Cancel</button></div></form>`;
}

/** @param {{ visit: HomeVisit, isAdministrator: boolean }} props */
function VisitItem({ visit, isAdministrator }) {
  const words = `${VISIT_STATE_WORDS[visit.state]}: ${visit.outlets.join(", ")}`;
  return html`<li class="row-item"><div><p>${isAdministrator ? html`<a href=${`/visits/${visit.id}`}>${words}</a>` : words}</p>
    <p class="small">Asked for on ${formatShortDate(visit.asked_at)}; ${whenWords(visit)}${visit.electrician_name ? `, ${visit.electrician_name}` : ""}</p></div></li>`;
}

/**
 * The form alone, for some outlets of a home; a visit that waits for them already is told instead.
 * @param {{ home: { id: string, outlets: OutletName[] }, outletIds?: string[], onDone: () => void }} props outletIds: all where none are named
 */
export function AskVisit({ home, outletIds, onDone }) {
  const visits = useResource((reading) => listHomeVisits(home.id, reading), [home.id]);
  const outlets = home.outlets.filter(({ id }) => outletIds?.includes(id) ?? true);
  return html`<${Loaded} of=${visits} lines=${1} size="line">${(/** @type {{ items: HomeVisit[] }} */ { items }) => {
    const waiting = items.filter((visit) => STILL_TO_COME.has(visit.state) && visit.outlet_ids.some((id) => outlets.some((outlet) => outlet.id === id)));
    if (waiting.length === 0) return html`<${AskForm} householdId=${home.id} outlets=${outlets} onAsked=${onDone} onCancel=${onDone} />`;
    return html`<div class="inset"><ul class="row-list">${waiting.map((visit) => html`<${VisitItem} key=${visit.id} visit=${visit} isAdministrator=${false} />`)}</ul>
      <button type="button" class="button" onClick=${onDone}>Close</button></div>`;
  }}</${Loaded}>`;
}

/**
 * A home's visits, and asking for another.
 * @param {{ home: { id: string, outlets: OutletName[] }, isAdministrator?: boolean }} props
 */
export function HomeVisits({ home, isAdministrator = false }) {
  const visits = useResource((reading) => listHomeVisits(home.id, reading), [home.id]);
  const [isOpen, setOpen] = useState(false);
  const asked = () => {
    setOpen(false);
    visits.reload();
  };
  return html`<section id="visits" class="card" aria-labelledby="visits-title">
    <h2 id="visits-title">Electrician's visits</h2>
    <${Loaded} of=${visits} lines=${1} size="line">${(/** @type {{ items: HomeVisit[] }} */ { items }) => items.length === 0
      ? html`<p>No visit has been asked for. Until an electrician's result is accepted, an outlet's condition is not known.</p>`
      : html`<ul class="row-list">${items.map((visit) => html`<${VisitItem} key=${visit.id} visit=${visit} isAdministrator=${isAdministrator} />`)}</ul>`}</${Loaded}>
    ${home.outlets.length > 0 && (isOpen
      ? html`<${AskForm} householdId=${home.id} outlets=${home.outlets} onAsked=${asked} onCancel=${() => setOpen(false)} />`
      : html`<button type="button" class="button" onClick=${() => setOpen(true)}>Ask for a visit</button>`)}
  </section>`;
}
