/** A diary from a CSV file: looked at first, then taken in as a whole, or not at all. */
import { html } from "htm/preact";
import { useId, useState } from "preact/hooks";
import { importDiary } from "../../api/odometer.js";
import { ProblemNote } from "../../components/problem_note.js";
import { counted } from "../../lib/quantity.js";
import { formatDate } from "../../lib/time.js";
import { say } from "../../state/notices.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/lead_types.d.ts").DiaryImport} DiaryImport */

/**
 * What a text would do, in words.
 * @param {DiaryImport} looked
 * @returns {string}
 */
export function importWords({ days, new_count: fresh, changed_count: changed }) {
  const span = `${counted(days.length, "day")}, from ${formatDate(days[0].on)} to ${formatDate(days[days.length - 1].on)}`;
  const same = days.length - fresh - changed;
  return `${span}: ${fresh} new, ${changed} with other miles than before, ${same} as they are.`;
}

/** @param {{ vehicleId: string, onSaved: () => void }} props */
export function DiaryImportForm({ vehicleId, onSaved }) {
  const id = useId();
  const submission = useSubmission();
  const [csv, setCsv] = useState("");
  const [looked, setLooked] = useState(/** @type {DiaryImport | null} */ (null));
  const choose = async (/** @type {{ currentTarget: HTMLInputElement }} */ event) => {
    setLooked(null);
    submission.clear();
    const text = (await event.currentTarget.files?.[0]?.text()) ?? "";
    setCsv(text);
    if (text) submission.run(async (key) => setLooked((await importDiary(ownHouseholdId(), vehicleId, text, true, key)).data));
  };
  const save = (/** @type {Event} */ event) => {
    event.preventDefault();
    submission.run(async (key) => {
      const { data } = await importDiary(ownHouseholdId(), vehicleId, csv, false, key);
      setLooked(null);
      say(`${counted(data.new_count + data.changed_count, "day")} taken in. The plan is being worked out anew.`);
      onSaved();
    });
  };
  return html`<form class="form" onSubmit=${save}>
    <${ProblemNote} problem=${submission.problem} takesFocus labelOf=${() => ""} />
    <div class="field"><label for=${id}>CSV file</label>
      <p class="hint" id=${`${id}-hint`}>First line on,miles; then a line for each day, such as 2026-11-24,31.5. It is looked at before anything is kept.</p>
      <input id=${id} type="file" accept=".csv,text/csv" aria-describedby=${`${id}-hint`} onChange=${choose} /></div>
    ${looked && html`<p role="status">${importWords(looked)}</p>`}
    <div class="form-actions"><button class="button" disabled=${submission.isBusy || !looked}>${submission.isBusy ? "Reading…" : "Take these days in"}</button></div>
  </form>`;
}
