/** The scheme's list of electricians: what they record through a link counts without a safety officer. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { addElectrician, changeElectrician, listElectricians, removeElectrician } from "../../../api/visits.js";
import { newKey } from "../../../api/client.js";
import { Empty } from "../../../components/empty.js";
import { Loaded } from "../../../components/loaded.js";
import { Page } from "../../../components/page.js";
import { SpecForm } from "../../../components/spec_form.js";
import { bodyOf, startValues } from "../../../lib/form_values.js";
import { asProblem, problemWords } from "../../../lib/problem.js";
import { formatShortDate } from "../../../lib/record_dates.js";
import { askConfirm } from "../../../state/confirm.js";
import { say } from "../../../state/notices.js";
import { useResource } from "../../../state/resource.js";
import { session } from "../../../state/session.js";
import { useSubmission } from "../../../state/submission.js";
import { VisitTabs } from "./tabs.js";

/** @typedef {import("../../../api/visit_types.d.ts").Electrician} Electrician */

/** @type {import("../../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [
  { name: "name", label: "Name", kind: "text", isRequired: true },
  { name: "firm", label: "Firm", kind: "text" },
  { name: "email", label: "E-mail address", kind: "email", isRequired: true },
  { name: "telephone", label: "Telephone", kind: "text" },
  { name: "registration", label: "Body and number of registration", kind: "text", hint: "As stated. Nobody here verifies it." },
];

/** @param {{ electrician: Electrician | null, onSaved: () => void, onCancel: () => void }} props */
function ElectricianForm({ electrician, onSaved, onCancel }) {
  const submission = useSubmission({ onStale: onSaved });
  const save = (/** @type {import("../../../lib/form_values.js").FormValues} */ values) => submission.run(async (key) => {
    const body = bodyOf(FIELDS, values);
    if (electrician) await changeElectrician(electrician.id, body, electrician.etag);
    else await addElectrician(body, key);
    say(electrician ? "Saved." : `${body.name} is on the list.`);
    onSaved();
  });
  return html`<div class="inset"><h2>${electrician ? `Change ${electrician.name}` : "Add an electrician"}</h2>
    <${SpecForm} fields=${FIELDS} start=${startValues(FIELDS, electrician)} action=${electrician ? "Save" : "Add to the list"} submission=${submission} onSubmit=${save} onCancel=${onCancel} /></div>`;
}

/** @param {{ electrician: Electrician, isOfficer: boolean, onEdit: () => void, onChange: () => void }} props */
function Line({ electrician, isOfficer, onEdit, onChange }) {
  const { id, name, firm, email, telephone, registration, listed_at: listedAt, unlisted_at: unlistedAt } = electrician;
  const remove = async () => {
    const isSure = await askConfirm({
      title: `Take ${name} off the list?`, text: "What was accepted before stays accepted. What is recorded from now on waits for a safety officer.",
      action: "Take off the list", stay: "Leave on the list",
    });
    if (!isSure) return;
    try {
      await removeElectrician(id, newKey());
      say(`${name} is off the list.`);
      onChange();
    } catch (thrown) {
      const { headline, advice } = problemWords(asProblem(thrown));
      say(`${headline}. ${advice}`);
    }
  };
  return html`<tr>
    <th scope="row">${name}${firm && html`<span class="cell-note">${firm}</span>`}</th>
    <td data-name="Reached at" class="wrap">${email}${telephone && html`<span class="cell-note">${telephone}</span>`}</td>
    <td data-name="Registration">${registration || "none stated"}<span class="cell-note">as stated, not verified</span></td>
    <td data-name="On the list">${unlistedAt ? `off since ${formatShortDate(unlistedAt)}` : `since ${formatShortDate(listedAt)}`}</td>
    <td data-name="">${isOfficer && !unlistedAt && html`<span class="row-actions"><button type="button" class="button button-quiet" onClick=${onEdit}>Change<span class="unseen"> ${name}</span></button>
      <button type="button" class="button button-quiet" onClick=${remove}>Remove<span class="unseen"> ${name} from the list</span></button></span>`}</td>
  </tr>`;
}

/** Electricians. */
export function ElectriciansPage() {
  const list = useResource((reading) => listElectricians(reading), []);
  const [opened, setOpened] = useState(/** @type {Electrician | "new" | null} */ (null));
  const isOfficer = session.value?.roles.includes("safety_officer") === true;
  const saved = () => {
    setOpened(null);
    list.reload();
  };
  return html`<${Page} title="Electricians" class="page-admin"
    lead="What somebody on this list records counts at once where one person put their address here and another sent the link; all else waits for a safety officer. Competence stands here as stated, not verified."
    actions=${isOfficer && !opened && html`<button type="button" class="button button-main" onClick=${() => setOpened("new")}>Add an electrician</button>`}>
    <${VisitTabs} />
    ${!isOfficer && html`<p class="note">Only a safety officer can change this list.</p>`}
    ${opened && html`<${ElectricianForm} key=${opened === "new" ? "new" : opened.id} electrician=${opened === "new" ? null : opened} onSaved=${saved} onCancel=${() => setOpened(null)} />`}
    <${Loaded} of=${list} lines=${3} size="line">${(/** @type {{ items: Electrician[] }} */ { items }) => items.length === 0
      ? html`<${Empty} title="Nobody is on the list yet"><p>Without a list every result waits for a safety officer.</p></${Empty}>`
      : html`<div class="table-box" tabindex="0" role="region" aria-label="Table of electricians"><table class="table stacking dense">
        <thead><tr><th scope="col">Name</th><th scope="col">Reached at</th><th scope="col">Registration</th><th scope="col">On the list</th><th scope="col"><span class="unseen">Actions</span></th></tr></thead>
        <tbody>${items.map((one) => html`<${Line} key=${one.id} electrician=${one} isOfficer=${isOfficer} onEdit=${() => setOpened(one)} onChange=${list.reload} />`)}</tbody></table></div>`}</${Loaded}>
  </${Page}>`;
}
