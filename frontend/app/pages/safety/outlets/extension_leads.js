/** Extension leads in use: what may be done with each, why not, what to do now; recording one, and that it is not used any more. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { endExtension, listExtensions, recordExtension } from "../../../api/extensions.js";
import { Details } from "../../../components/details.js";
import { Loaded } from "../../../components/loaded.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { WorkingSteps } from "../../../components/working_steps.js";
import { formatRecordInstant } from "../../../lib/record_dates.js";
import { askConfirm } from "../../../state/confirm.js";
import { say } from "../../../state/notices.js";
import { useResource } from "../../../state/resource.js";
import { useSubmission } from "../../../state/submission.js";
import { ExtensionForm } from "./extension_form.js";

/** @typedef {import("../../../api/extension_types.d.ts").ExtensionLead} ExtensionLead */
/** @typedef {{ id: string, zone: string, outlets: { id: string, label: string, kind: string }[] }} Home */

const capital = (/** @type {string} */ text) => text.charAt(0).toUpperCase() + text.slice(1);

/** @param {ExtensionLead} lead @returns {string} */
function plate(lead) {
  const size = lead.size_mm2 === null ? "size not known" : `${lead.size_mm2} mm²`;
  const length = lead.length_m === null ? "length not known" : `${lead.length_m} m`;
  return [lead.mark ? `marked ${lead.mark}` : "without a mark", size, length].join(", ");
}

/** @param {{ lead: ExtensionLead, zone: string, isBusy: boolean, onEnd: () => void, onDescribe: () => void }} props */
function InUse({ lead, zone, isBusy, onEnd, onDescribe }) {
  const unseen = html`<span class="unseen">: ${lead.label}</span>`;
  return html`<li class="row-item"><div class="in-use">
    <p><strong>${lead.label}</strong> at ${lead.outlet_label}: ${lead.allows_charging ? html`use with limits, <strong>at most ${lead.limit_a} A</strong>` : html`<strong>do not use</strong>`}</p>
    <p class="small">${capital(plate(lead))}. Recorded ${formatRecordInstant(lead.recorded_at, zone, Date.now())}.</p>
    ${!lead.allows_charging && html`<div class="note note-stop"><p class="note-title">Do this now</p><ol>${lead.do_now.map((line) => html`<li key=${line}>${line}</li>`)}</ol></div>
      <p class="list-title">Why</p><ul>${lead.reasons.map((reason) => html`<li key=${reason}>${capital(reason)}</li>`)}</ul>
      <p class="small">${lead.can_be_lifted ? "Only an electrician's accepted inspection can allow it, and only this very one: by its mark, size and length, with a limit and a reason." : "As it is used, no inspection can allow it."}</p>`}
    <div class="form-actions"><button type="button" class="button button-main" disabled=${isBusy} onClick=${onEnd}>It is not used any more${unseen}</button>
      <button type="button" class="button" onClick=${onDescribe}>Say more of it${unseen}</button></div>
    <${Details} summary=${html`How this came about${unseen}`}>${() => html`<${WorkingSteps} steps=${lead.working} />`}</${Details}>
  </div></li>`;
}

/**
 * @param {{ home: Home, onChange: () => void, level?: 2 | 3 }} props onChange: what may be used may have changed
 */
export function ExtensionLeads({ home, onChange, level = 2 }) {
  const list = useResource((reading) => listExtensions(home.id, reading), [home.id]);
  const [form, setForm] = useState(/** @type {{ of: ExtensionLead | null } | null} */ (null));
  const recording = useSubmission();
  const ending = useSubmission();
  const done = () => {
    list.reload();
    onChange();
  };
  const end = async (/** @type {ExtensionLead} */ lead) => {
    const isSure = await askConfirm({
      title: "Is it really not used any more?", text: `The charging lead is plugged straight into ${lead.outlet_label}. Who said so and when is kept, and the socket's own checks go on as usual.`,
      action: "It is not used any more", stay: "Go back",
    });
    if (isSure) await ending.run(async (key) => {
      await endExtension(home.id, lead.id, key);
      say(`${lead.label}: recorded as not used any more.`);
      done();
    });
  };
  const save = (/** @type {import("../../../api/extension_types.d.ts").ExtensionEntry} */ entry) => recording.run(async (key) => {
    const of = form?.of ?? null;
    const { data } = await recordExtension(home.id, entry, key);
    // Only once the fuller record stands does the one it takes the place of end.
    if (of) await endExtension(home.id, of.id, `${key}-old`);
    say(data.allows_charging ? `${data.label}: at most ${data.limit_a} A.` : `${data.label}: do not charge through it.`);
    setForm(null);
    done();
  });
  const Title = `h${level}`;
  return html`<section class="card" aria-labelledby="extension-leads"><${Title} class="card-title" id="extension-leads">Extension leads</${Title}>
    <${ProblemNote} problem=${ending.problem} takesFocus />
    <${Loaded} of=${list} lines=${1} size="line">${(/** @type {import("../../../api/types.d.ts").Paged<ExtensionLead>} */ { items }) => {
      const inUse = items.filter(({ ended_at: ended }) => ended === null);
      const before = items.filter(({ ended_at: ended }) => ended !== null);
      return html`
        ${inUse.length === 0 && html`<p>None is recorded in use. Do not charge through one, unless your electrician has allowed that very one.</p>`}
        ${inUse.length > 0 && html`<ul class="row-list">${inUse.map((lead) => html`<${InUse} key=${lead.id} lead=${lead} zone=${home.zone} isBusy=${ending.isBusy}
          onEnd=${() => end(lead)} onDescribe=${() => setForm({ of: lead })} />`)}</ul>`}
        ${before.length > 0 && html`<${Details} summary="Not used any more">${() => html`<ul>${before.map((lead) => html`<li key=${lead.id}>${lead.label} at ${lead.outlet_label}, until ${formatRecordInstant(lead.ended_at ?? "", home.zone, Date.now())}</li>`)}</ul>`}</${Details}>`}`;
    }}</${Loaded}>
    ${form
      ? html`<${ExtensionForm} key=${form.of?.id ?? "new"} outlets=${home.outlets} of=${form.of} submission=${recording} onSave=${save} onCancel=${() => setForm(null)} />`
      : home.outlets.length > 0 && html`<button type="button" class="button" onClick=${() => setForm({ of: null })}>I use an extension lead</button>`}
  </section>`;
}
