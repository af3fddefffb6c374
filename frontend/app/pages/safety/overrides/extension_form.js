/** Put the due date of an outlet's inspection off, once, by at most 14 days, to a visit that is booked. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { makeOverride } from "../../../api/overrides.js";
import { listHomeVisits } from "../../../api/visits.js";
import { Field } from "../../../components/field.js";
import { Loaded } from "../../../components/loaded.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { EXTENSION_DAYS, bookedVisits, daysAfter, inspectionDueOn, itemLabel, whyNotPutOff } from "../../../lib/override_words.js";
import { fieldFault } from "../../../lib/problem.js";
import { formatDate, localDay } from "../../../lib/time.js";
import { whenWords } from "../../../lib/visit_words.js";
import { askConfirm } from "../../../state/confirm.js";
import { say } from "../../../state/notices.js";
import { useResource } from "../../../state/resource.js";
import { useSubmission } from "../../../state/submission.js";
import { useUnsavedGuard } from "../../../state/unsaved.js";

/** @typedef {import("../../../api/types.d.ts").Household} Household */
/** @typedef {import("../../../api/visit_types.d.ts").HomeVisit} HomeVisit */

/** @type {Record<string, string>} */
const LABELS = { item_id: "Outlet", due_on: "Due date", new_due_on: "New due date", visit_id: "Visit that is booked", reason: "Why" };

/** @param {{ home: Household, visits: HomeVisit[], onMade: () => void, onCancel: () => void }} props */
function Entries({ home, visits, onMade, onCancel }) {
  const today = localDay(Date.now(), home.zone);
  const [outletId, setOutlet] = useState(home.outlets[0].id);
  const [newDueOn, setNewDueOn] = useState("");
  const [visitId, setVisit] = useState("");
  const [reason, setReason] = useState("");
  const submission = useSubmission();
  useUnsavedGuard(!submission.isBusy && (newDueOn !== "" || reason !== ""));
  const dueOn = inspectionDueOn(home, outletId);
  const booked = bookedVisits(visits, outletId, today);
  const why = whyNotPutOff(dueOn, booked, today);
  const chosen = booked.find(({ id }) => id === visitId)?.id ?? booked[0]?.id ?? "";
  const fault = (/** @type {string} */ name) => fieldFault(submission.problem, name);
  const send = async (/** @type {Event} */ event) => {
    event.preventDefault();
    const isSure = await askConfirm({
      title: "Put the due date off?", text: `${itemLabel(home, outletId)}: from ${formatDate(dueOn)} to ${formatDate(newDueOn)}. This date moves only once.`,
      action: "Put it off", stay: "Go back",
    });
    if (!isSure) return;
    await submission.run(async (key) => {
      await makeOverride(home.id, { kind: "extension", item_kind: "outlet", item_id: outletId, due_on: dueOn, new_due_on: newDueOn, visit_id: chosen, reason: reason.trim() }, key);
      say("The due date has been put off.");
      onMade();
    });
  };
  const outlets = home.outlets.map(({ id, label }) => ({ value: id, label }));
  return html`<form class="form inset" onSubmit=${send} aria-label="Put a due date off"><h2>Put a due date off</h2>
    <${ProblemNote} problem=${submission.problem} takesFocus labelOf=${(/** @type {string} */ field) => LABELS[field] ?? ""} />
    <${Field} spec=${{ name: "item_id", label: LABELS.item_id, kind: "select", options: outlets }} value=${outletId} onInput=${setOutlet} fault=${fault("item_id")} />
    ${why
      ? html`<p class="note note-warn">${why} ${dueOn > today && html`<a href="/visits">Visits</a>`}</p>`
      : html`<p>The inspection that counts falls due on <strong>${formatDate(dueOn)}</strong>. ${fault("due_on")}</p>
        <${Field} spec=${{ name: "new_due_on", label: LABELS.new_due_on, kind: "date", isRequired: true, min: daysAfter(dueOn, 1), max: daysAfter(dueOn, EXTENSION_DAYS), hint: `By ${formatDate(daysAfter(dueOn, EXTENSION_DAYS))}, and not before the visit.` }} value=${newDueOn} onInput=${setNewDueOn} fault=${fault("new_due_on")} />
        <${Field} spec=${{ name: "visit_id", label: LABELS.visit_id, kind: "select", options: booked.map((visit) => ({ value: visit.id, label: whenWords(visit) })) }} value=${chosen} onInput=${setVisit} fault=${fault("visit_id")} />
        <${Field} spec=${{ name: "reason", label: LABELS.reason, kind: "long", isRequired: true }} value=${reason} onInput=${setReason} fault=${fault("reason")} />`}
    <div class="form-actions">${!why && html`<button class="button button-main" disabled=${submission.isBusy}>${submission.isBusy ? "Saving…" : "Put it off"}</button>`}
      <button type="button" class="button" onClick=${onCancel}>Cancel</button></div>
  </form>`;
}

/** @param {{ home: Household, onMade: () => void, onCancel: () => void }} props */
export function ExtensionForm({ home, onMade, onCancel }) {
  const visits = useResource((reading) => listHomeVisits(home.id, reading), [home.id]);
  return html`<${Loaded} of=${visits} lines=${1} size="card">${(/** @type {{ items: HomeVisit[] }} */ { items }) =>
    html`<${Entries} home=${home} visits=${items} onMade=${onMade} onCancel=${onCancel} />`}</${Loaded}>`;
}
