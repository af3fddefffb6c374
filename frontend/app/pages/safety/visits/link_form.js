/** One link for a firm's day: to whom, how long it holds; asked once before it goes out. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { listElectricians, makeInspectionLink } from "../../../api/visits.js";
import { Loaded } from "../../../components/loaded.js";
import { Field } from "../../../components/field.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { fieldFault } from "../../../lib/problem.js";
import { selectionWords } from "../../../lib/visit_words.js";
import { askConfirm } from "../../../state/confirm.js";
import { useResource } from "../../../state/resource.js";
import { useSubmission } from "../../../state/submission.js";

/** @typedef {import("../../../api/visit_types.d.ts").VisitRow} VisitRow */
/** @typedef {import("../../../api/visit_types.d.ts").Electrician} Electrician */

const DAYS = 14;

/** @param {Electrician[]} electricians @returns {import("../../../lib/form_values.js").FieldSpec[]} */
function linkFields(electricians) {
  const listed = electricians.filter(({ unlisted_at: at }) => !at).map(({ id, name, firm }) => ({ value: id, label: firm ? `${name}, ${firm}` : name }));
  return [
    { name: "electrician_id", label: "Electrician", kind: "select", options: [{ value: "", label: "Somebody not on the list" }, ...listed],
      hint: "From the list it counts at once, and the link goes by e-mail alone; from anybody else once another safety officer than you has accepted it." },
    { name: "sent_to", label: "E-mail address", kind: "email", isRequired: true, hint: "Never one of the home's own: such a result never counts." },
    { name: "expires_in_days", label: "Holds for", kind: "number", unit: "days", min: 1, max: 60, step: 1, isRequired: true, hint: "Count to the last agreed day and some more." },
  ];
}

/**
 * @param {{
 *   visits: VisitRow[], electricians: Electrician[], onCancel: () => void,
 *   onSent: (link: import("../../../api/visit_types.d.ts").InspectionLinkMade) => void,
 * }} props
 */
function Entries({ visits, electricians, onSent, onCancel }) {
  const [values, setValues] = useState({ electrician_id: "", sent_to: "", expires_in_days: String(DAYS) });
  const submission = useSubmission();
  const put = (/** @type {string} */ name, /** @type {string} */ value) => {
    const address = name === "electrician_id" ? electricians.find(({ id }) => id === value)?.email : undefined;
    setValues((old) => ({ ...old, [name]: value, ...(address && { sent_to: address }) }));
  };
  const send = async (/** @type {Event} */ event) => {
    event.preventDefault();
    const isSure = await askConfirm({
      title: "Send this link?", text: `One link for ${selectionWords(visits)} goes to ${values.sent_to}. Each home, with its address, opens to whoever holds the link, on its day.`,
      action: "Send the link", stay: "Not yet",
    });
    if (!isSure) return;
    await submission.run(async (key) => {
      const wanted = { visit_ids: visits.map(({ id }) => id), electrician_id: values.electrician_id || null, sent_to: values.sent_to.trim(), expires_in_days: Number(values.expires_in_days) };
      onSent((await makeInspectionLink(wanted, key)).data);
    });
  };
  return html`<form class="form inset" onSubmit=${send} aria-label="Send one link"><h2>One link for ${selectionWords(visits)}</h2>
    <${ProblemNote} problem=${submission.problem} takesFocus />
    <div class="form-fields">${linkFields(electricians).map((spec) => html`<${Field} key=${spec.name} spec=${spec} value=${/** @type {Record<string, string>} */ (values)[spec.name]}
      fault=${fieldFault(submission.problem, spec.name)} onInput=${(/** @type {string} */ value) => put(spec.name, value)} />`)}</div>
    <div class="form-actions"><button class="button button-main" disabled=${submission.isBusy}>${submission.isBusy ? "Sending…" : "Send the link"}</button>
      <button type="button" class="button" onClick=${onCancel}>Cancel</button></div></form>`;
}

/**
 * @param {{ visits: VisitRow[], onCancel: () => void, onSent: (link: import("../../../api/visit_types.d.ts").InspectionLinkMade) => void }} props
 */
export function LinkForm({ visits, onSent, onCancel }) {
  const list = useResource((reading) => listElectricians(reading), []);
  return html`<${Loaded} of=${list} lines=${1}>${(/** @type {{ items: Electrician[] }} */ { items }) =>
    html`<${Entries} visits=${visits} electricians=${items} onSent=${onSent} onCancel=${onCancel} />`}</${Loaded}>`;
}
