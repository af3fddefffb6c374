/** Show in a photo what a lead is set to: the plan reckons with that current from then on. */
import { html } from "htm/preact";
import { useId, useState } from "preact/hooks";
import { recordSettingPhoto } from "../../../api/checks.js";
import { uploadFile } from "../../../api/files.js";
import { ChoiceGroup } from "../../../components/choice_group.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { fieldFault } from "../../../lib/problem.js";
import { say } from "../../../state/notices.js";
import { useSubmission } from "../../../state/submission.js";

/** @typedef {import("../../../api/types.d.ts").Lead} Lead */

const LEAST_A = 6;

/**
 * The currents a lead can show: those recorded, else every whole one up to its rating.
 * @param {Lead} lead
 * @returns {number[]}
 */
export function currentsOf(lead) {
  if (lead.settings_a.length > 0) return [...lead.settings_a].sort((left, right) => left - right);
  return Array.from({ length: Math.max(0, lead.rated_a - LEAST_A + 1) }, (_, step) => LEAST_A + step);
}

/** @param {{ householdId: string, lead: Lead, onSaved: () => void }} props */
export function SettingPhoto({ householdId, lead, onSaved }) {
  const id = useId();
  const [isOpen, setOpen] = useState(false);
  const [file, setFile] = useState(/** @type {File | null} */ (null));
  const [shownA, setShownA] = useState("");
  const submission = useSubmission();
  const state = lead.setting_shown_a ? `Set to ${lead.set_a} A, as a photo showed.` : `Recorded as set to ${lead.set_a} A; no photo shows it.`;
  if (!isOpen) {
    return html`<div class="setting"><p>${state}</p>
      <button type="button" class="button" onClick=${() => setOpen(true)}>Photograph the setting<span class="unseen">: ${lead.label}</span></button></div>`;
  }
  const save = () => submission.run(async (key) => {
    if (!file) return;
    const stored = await uploadFile(householdId, "setting_photo", file, `${key}-file`);
    await recordSettingPhoto(householdId, lead.id, { file_id: stored.data.id, shown_a: Number(shownA) }, key);
    say(`${lead.label}: the plan reckons with ${shownA} A now.`);
    setOpen(false);
    onSaved();
  });
  return html`<div class="inset"><h3>What is the lead set to?</h3>
    <p class="small">Take the picture so that the setting on the box can be read. Where it was taken is not kept.</p>
    <div class="field"><label for=${id}>Photo of the setting</label>
      <input id=${id} type="file" accept="image/jpeg,image/png" capture="environment" onChange=${(/** @type {any} */ event) => setFile(event.currentTarget.files[0] ?? null)} /></div>
    <${ChoiceGroup} spec=${{ name: "shown", label: "It shows", kind: "select", options: currentsOf(lead).map((amps) => ({ value: String(amps), label: `${amps} A` })) }}
      value=${shownA} onInput=${setShownA} fault=${fieldFault(submission.problem, "shown_a")} />
    <${ProblemNote} problem=${submission.problem} takesFocus />
    <div class="form-actions"><button type="button" class="button button-main" disabled=${submission.isBusy || !file || shownA === ""} onClick=${save}>Save the setting</button>
      <button type="button" class="button" onClick=${() => setOpen(false)}>Cancel</button></div>
  </div>`;
}
