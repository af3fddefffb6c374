/** Everything read over before it is sent, with what is missing or would be refused, and one confirmation. */
import { html } from "htm/preact";
import { useEffect, useState } from "preact/hooks";
import { submitVisit } from "../../../api/inspection_link.js";
import { ChoiceGroup } from "../../../components/choice_group.js";
import { Page } from "../../../components/page.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { ALL_FIELDS, stepOf } from "../../../lib/inspection_fields.js";
import { refusedByOutlet, visitFaults } from "../../../lib/inspection_faults.js";
import { isTouched, outletForm, visitResult } from "../../../lib/inspection_form.js";
import { NEVER_CERTIFIES, NOT_VERIFIED } from "../../../lib/inspection_words.js";
import { localDay } from "../../../lib/time.js";
import { askConfirm } from "../../../state/confirm.js";
import { useSubmission } from "../../../state/submission.js";
import { hrefOf } from "./address.js";
import { DraftChoice, DraftStatus } from "./draft_status.js";
import { outletsOf } from "./home_view.js";
import { OutletSummary } from "./outlet_summary.js";

/** @typedef {import("../../../api/visit_types.d.ts").VisitView} VisitView */

/** @type {import("../../../lib/form_values.js").FieldSpec} */
const HOW_MUCH = {
  name: "is_partial", label: "What do you submit now?", kind: "select",
  options: [{ value: "all", label: "Everything: certificate and readings" }, { value: "partial", label: "The certificate now, the readings later" }],
  hint: "Until the readings are in, the outlet stays not known, and this link stays open for them.",
};

/**
 * A fault's name as the form shows it.
 * @param {string} field
 * @returns {string}
 */
export function faultName(field) {
  const [, place, name] = /^observations\.(\d+)\.(\w+)$/.exec(field) ?? [];
  if (place !== undefined) return `Observation ${Number(place) + 1}, ${name === "note" ? "what you observed" : name.replaceAll("_", " ")}`;
  return ALL_FIELDS.find((spec) => spec.name === field.replace(/\.(value|not_tested_because)$/, ""))?.label ?? field.replaceAll("_", " ");
}

/** @param {{ view: VisitView, faults: ReturnType<typeof visitFaults> }} props */
function Faults({ view, faults }) {
  const labelOf = (/** @type {string} */ id) => view.outlets.find((outlet) => outlet.id === id)?.label ?? "";
  if (faults.self.length === 0 && faults.outlets.length === 0) return null;
  return html`<div class="note note-stop" role="status"><p class="note-title">To put right before you can submit</p>
    <ul>${faults.self.map(({ field, text }) => html`<li key=${field}><a href=${hrefOf({ visit: view.visit_id })}>${field === "electrician_name" ? "Your name" : "Registration"}</a>: ${text}</li>`)}
      ${faults.outlets.flatMap(({ id, faults: found }) => found.map(({ field, text }) => html`<li key=${id + field}>
        <a href=${hrefOf({ visit: view.visit_id, outlet: id, step: stepOf(field) })}>${labelOf(id)}, ${faultName(field)}</a>: ${text}</li>`))}</ul></div>`;
}

/** @param {{ view: VisitView, refused: ReturnType<typeof refusedByOutlet> }} props */
function Refused({ view, refused }) {
  return html`<div class="note note-stop" role="alert"><p class="note-title">Not taken yet: some entries need another look</p>
    <ul>${refused.map(({ id, field, step, text }) => html`<li key=${id + field}><a href=${hrefOf({ visit: view.visit_id, outlet: id, step })}>${[view.outlets.find((outlet) => outlet.id === id)?.label, faultName(field)].filter(Boolean).join(", ")}</a>: ${text}</li>`)}</ul></div>`;
}

/** @param {{ names: string[], isPartial: boolean }} sent @returns {import("../../../state/confirm.js").Question} */
function questionOf({ names, isPartial }) {
  return {
    title: isPartial ? "Submit the certificate?" : "Submit for good?",
    text: isPartial
      ? `The certificate is recorded for ${names.join(", ")}. The readings can follow through this link.`
      : `What you entered is recorded for ${names.join(", ")}, and this home closes. A correction is possible for 7 days, by a link that the scheme sends.`,
    action: "Submit", stay: "Not yet",
  };
}

/** @param {{ view: VisitView, faults: ReturnType<typeof visitFaults> }} props */
function Standing({ view, faults }) {
  if (faults.isEmpty) return html`<p class="note">Nothing has been entered for any outlet yet.</p>`;
  return html`<${Faults} view=${view} faults=${faults} />`;
}

/** @param {{ view: VisitView, submission: import("../../../state/submission.js").Submission, sentIds: string[] }} props */
function Outcome({ view, submission, sentIds }) {
  const { problem } = submission;
  const refused = problem?.status === 422 ? refusedByOutlet(problem.errors, sentIds) : [];
  return refused.length > 0 ? html`<${Refused} view=${view} refused=${refused} />` : html`<${ProblemNote} problem=${problem} takesFocus />`;
}

/**
 * May it be sent as it stands?
 * @param {ReturnType<typeof visitFaults>} faults
 * @param {import("./one_visit.js").Kept} kept
 * @returns {boolean}
 */
function isReady(faults, { keeper, sender }) {
  return !faults.isEmpty && faults.self.length === 0 && faults.outlets.length === 0 && sender.isDone() && keeper.state.value !== "conflict";
}

/**
 * @param {{
 *   view: VisitView, kept: import("./one_visit.js").Kept, token: string,
 *   onChecked: () => void, onReceipt: (told: import("./receipt.js").Told) => void,
 * }} props
 */
export function Summary({ view, kept, token, onChecked, onReceipt }) {
  const { keeper, sender } = kept;
  const [part, setPart] = useState("all");
  const [sentIds, setSentIds] = useState(/** @type {string[]} */ ([]));
  const submission = useSubmission();
  useEffect(onChecked, []);
  const draft = keeper.draft.value;
  const isPartial = part === "partial";
  const touched = outletsOf(view).filter(({ id }) => isTouched(outletForm(draft, id)));
  const faults = visitFaults(draft, view.outlet_ids, localDay(Date.now(), view.home.zone), isPartial);
  const submit = async () => {
    const result = visitResult(draft, view.outlet_ids, isPartial);
    if (!(await askConfirm(questionOf({ names: touched.map(({ label }) => label), isPartial })))) return;
    setSentIds(result.outlets.map(({ outlet_id: id }) => id));
    await submission.run(async (key) => {
      const { data } = await submitVisit(token, view.visit_id, result, key);
      if (!isPartial) {
        await keeper.forget();
        await sender.forget();
      }
      onReceipt({ view, result, reply: data });
    });
  };
  return html`<${Page} title="Read over and submit" class="page-inspect" lead=${html`<a href=${hrefOf({ visit: view.visit_id })}>Home ${view.home.reference}</a>`}>
    <${DraftStatus} keeper=${keeper} isPending=${!sender.isDone()} />
    <${DraftChoice} keeper=${keeper} />
    <${Standing} view=${view} faults=${faults} />
    ${touched.map((outlet) => html`<${OutletSummary} key=${outlet.id} outlet=${outlet} form=${outletForm(draft, outlet.id)} visitId=${view.visit_id} />`)}
    <${ChoiceGroup} spec=${HOW_MUCH} value=${part} onInput=${setPart} />
    <p><strong>${draft.electrician_name || "Name not entered"}</strong>${draft.registration && `, ${draft.registration}`}. ${NOT_VERIFIED}</p>
    <p class="small">${NEVER_CERTIFIES}</p>
    <${Outcome} view=${view} submission=${submission} sentIds=${sentIds} />
    ${!sender.isDone() && html`<p class="note note-warn">A document has not reached the scheme yet. It is kept here and sent when there is a signal; then you can submit.</p>`}
    <button type="button" class="button button-main button-wide" disabled=${!isReady(faults, kept) || submission.isBusy} onClick=${submit}>${submission.isBusy ? "Submitting…" : "Submit"}</button>
  </${Page}>`;
}
