/** The meter's own half-hours: read a file first without keeping it, then keep it, or forget what is kept. */
import { html } from "htm/preact";
import { useId, useState } from "preact/hooks";
import { forgetHouseReadings, getHouseReadings, sendHouseReadings } from "../../api/house_readings.js";
import { Field } from "../../components/field.js";
import { Loaded } from "../../components/loaded.js";
import { ProblemNote } from "../../components/problem_note.js";
import { counted, formatEnergy } from "../../lib/quantity.js";
import { formatInstant } from "../../lib/time.js";
import { askConfirm } from "../../state/confirm.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../lib/form_values.js").FieldSpec} FieldSpec */
/** @typedef {import("../../api/house_readings.js").ReadingsSummary} ReadingsSummary */
/** @typedef {import("../../api/house_readings.js").ReadingsTaken} ReadingsTaken */

const ZONE = "Europe/London";
const SHOWN_GAPS = 10;

/** Nothing about a file is guessed: such files have no standard. @type {FieldSpec[]} */
export const FILE_FIELDS = [
  { name: "layout", label: "Each line holds", kind: "select", options: [
    { value: "half_hour_a_line", label: "one half-hour: its time, its energy" }, { value: "day_a_line", label: "one day: its date, all its half-hours" }] },
  { name: "clock", label: "Its times are", kind: "select", options: [
    { value: "stated", label: "each with its offset, such as 00:30Z" }, { value: "local", label: "on the clock at home" }, { value: "utc", label: "in UTC all year (GMT)" }] },
  { name: "marks", label: "A time is the", kind: "select", options: [{ value: "start", label: "start of its half-hour" }, { value: "end", label: "end of its half-hour" }] },
  { name: "unit", label: "Its unit", kind: "select", options: [{ value: "kwh", label: "kWh" }, { value: "wh", label: "Wh" }] },
];
const START = Object.fromEntries(FILE_FIELDS.map(({ name, options }) => [name, options?.[0].value ?? ""]));

/** @param {{ taken: ReadingsTaken }} props */
function WhatItHolds({ taken }) {
  return html`<div class="note" role="status">
    <p class="note-title">${counted(taken.count, "half-hour")}, ${formatEnergy(taken.energy_kwh)}, from ${formatInstant(taken.first_at, ZONE)} to ${formatInstant(taken.ends_at, ZONE)}</p>
    ${taken.missing.length > 0 && html`<p>Missing in between:</p>
      <ul>${taken.missing.slice(0, SHOWN_GAPS).map((gap) => html`<li key=${gap.starts_at}>${formatInstant(gap.starts_at, ZONE)} to ${formatInstant(gap.ends_at, ZONE)}</li>`)}
        ${taken.missing.length > SHOWN_GAPS && html`<li>and ${counted(taken.missing.length - SHOWN_GAPS, "more gap")}</li>`}</ul>`}
    <p>${taken.stored_count > 0 ? "Kept. The plan is being worked out anew." : "Nothing is kept yet. Is that what your meter told?"}</p>
  </div>`;
}

/** @param {{ summary: ReadingsSummary }} props */
const Kept = ({ summary }) => html`<p>${summary.first_at && summary.ends_at
  ? `${counted(summary.count, "half-hour")} kept, from ${formatInstant(summary.first_at, ZONE)} to ${formatInstant(summary.ends_at, ZONE)}: ${formatEnergy(summary.energy_kwh)}.`
  : "None are kept: the plan reckons with what an average home of your yearly use draws."}</p>`;

/** @param {{ householdId: string }} props */
export function HouseReadings({ householdId }) {
  const id = useId();
  const kept = useResource((reading) => getHouseReadings(householdId, reading), [householdId]);
  const submission = useSubmission();
  const [told, setTold] = useState(/** @type {Record<string, string>} */ (START));
  const [file, setFile] = useState(/** @type {File | null} */ (null));
  const [taken, setTaken] = useState(/** @type {ReadingsTaken | null} */ (null));
  const start = () => {
    setTaken(null);
    submission.clear();
  };
  const send = (/** @type {boolean} */ isDryRun) => submission.run(async (key) => {
    const text = await /** @type {File} */ (file).text();
    const { layout, clock, marks, unit } = told;
    setTaken((await sendHouseReadings(householdId, { text, layout, clock, marks, unit, is_dry_run: isDryRun }, key)).data);
    if (!isDryRun) kept.reload();
  });
  const forget = async () => {
    if (!(await askConfirm({ title: "Forget these half-hours?", text: "The plan then reckons with an average home again.", action: "Forget them" }))) return;
    if (await submission.run(async () => void (await forgetHouseReadings(householdId)))) {
      start();
      kept.reload();
      say("Forgotten.");
    }
  };
  const isRead = taken !== null && taken.stored_count === 0;
  return html`<section class="card" aria-labelledby=${`${id}-title`}>
    <h2 id=${`${id}-title`}>What the house draws</h2>
    <${Loaded} of=${kept} lines=${1} size="line">${(/** @type {ReadingsSummary} */ summary) => html`<${Kept} summary=${summary} />
      ${summary.count > 0 && html`<p><button type="button" class="button button-quiet" disabled=${submission.isBusy} onClick=${forget}>Forget them</button></p>`}`}</${Loaded}>
    <p class="small">Only people of this home see them. Half-hours are forgotten after 400 days.</p>
    <form class="form" onSubmit=${(/** @type {Event} */ event) => {
      event.preventDefault();
      send(!isRead);
    }}>
      <${ProblemNote} problem=${submission.problem} takesFocus labelOf=${() => ""} />
      <div class="field"><label for=${id}>Your meter's file (CSV, a heading first)</label>
        <input id=${id} type="file" accept=".csv,text/csv" required onChange=${(/** @type {{ currentTarget: HTMLInputElement }} */ event) => {
          setFile(event.currentTarget.files?.[0] ?? null);
          start();
        }} /></div>
      ${FILE_FIELDS.map((spec) => html`<${Field} key=${spec.name} spec=${spec} value=${told[spec.name]} onInput=${(/** @type {string} */ value) => {
        setTold({ ...told, [spec.name]: value });
        start();
      }} />`)}
      ${taken && html`<${WhatItHolds} taken=${taken} />`}
      <div class="form-actions"><button class="button button-main" disabled=${submission.isBusy || file === null || (taken?.stored_count ?? 0) > 0}>
        ${submission.isBusy ? "Reading…" : isRead ? "Keep these half-hours" : "Read the file"}</button></div>
    </form>
  </section>`;
}
