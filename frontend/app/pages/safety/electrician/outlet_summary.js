/** One outlet's entries for reading over, step by step, each with the way back to it. */
import { html } from "htm/preact";
import { Facts } from "../../../components/facts.js";
import { EXTENSION_FIELDS, STEPS, fieldsOf } from "../../../lib/inspection_fields.js";
import { answerWords, isAnswered, isAsked, progressOf } from "../../../lib/inspection_form.js";
import { REACH_WORDS } from "../../../lib/inspection_words.js";
import { datesInWords } from "../../../lib/record_dates.js";
import { formatDate } from "../../../lib/time.js";
import { CODE_WORDS } from "../../../lib/wording.js";
import { hrefOf } from "./address.js";

/** @typedef {import("../../../lib/inspection_form.js").OutletForm} OutletForm */
/** @typedef {import("../../../lib/inspection_fields.js").InspectionStep} InspectionStep */

/**
 * A step's entries as names and words.
 * @param {InspectionStep} step
 * @param {OutletForm} form
 * @param {string} kind
 * @returns {[string, string][]}
 */
export function stepRows(step, form, kind) {
  if (step.id === "document") return [["Document", form.document?.name ?? "none: the result does not count without it"]];
  if (step.id === "observations") return form.observations.length === 0 ? [["Observations", "none"]] : form.observations.map(observationRow);
  const fields = [...fieldsOf(step, kind), ...(step.id === "limits" ? EXTENSION_FIELDS : [])];
  const shown = fields.filter((field) => isAsked(form, field) && isAnswered(form, field));
  if (step.id === "limits" && shown.length === 0) return [["Limits", "none of your own"]];
  return shown.map((field) => [field.name.startsWith("extension.") ? `Extension lead: ${field.label.toLowerCase()}` : field.label, datesInWords(answerWords(field, form))]);
}

/**
 * @param {import("../../../lib/inspection_form.js").ObservationForm} observation
 * @param {number} place
 * @returns {[string, string]}
 */
function observationRow({ code, note, reach, closed_on: closed }, place) {
  const what = CODE_WORDS[/** @type {keyof typeof CODE_WORDS} */ (code)];
  return [`Observation ${place + 1}`, `${what}. ${note || "no words yet"}. ${REACH_WORDS[reach]}; ${closed ? `put right on ${formatDate(closed)}` : "still open"}`];
}

/** @param {{ outlet: import("../../../api/types.d.ts").Outlet, form: OutletForm, visitId: string }} props */
export function OutletSummary({ outlet, form, visitId }) {
  return html`<section class="card" aria-labelledby=${`summary-${outlet.id}`}><h2 id=${`summary-${outlet.id}`}>${outlet.label}</h2>
    ${STEPS.map((step) => {
      const rows = stepRows(step, form, outlet.kind);
      const open = progressOf(step, form, outlet.kind).open.filter(({ isRequired }) => !isRequired);
      return html`<div key=${step.id} class="summary-step"><div class="card-head"><h3>${step.title}</h3>
        <a href=${hrefOf({ visit: visitId, outlet: outlet.id, step: step.id })}>Change<span class="unseen"> ${step.title.toLowerCase()} of ${outlet.label}</span></a></div>
        ${rows.length > 0 && html`<${Facts} rows=${rows} class="facts-long" />`}
        ${open.length > 0 && html`<p class="small"><strong>Not answered, stays not known:</strong> ${open.map(({ label }) => label.replace(/[?:]$/, "")).join("; ")}</p>`}</div>`;
    })}
  </section>`;
}
