/** The last two weeks of a diary, day by day: entered, changed, taken out with an undo. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { enterDiary, removeDiaryDay } from "../../api/habits.js";
import { ProblemNote } from "../../components/problem_note.js";
import { SpecForm } from "../../components/spec_form.js";
import { formatDay } from "../../lib/time.js";
import { say } from "../../state/notices.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/habit_types.d.ts").DiaryDay} DiaryDay */
/** @typedef {{ on: string, day: DiaryDay | null }} ShownDay */

/** @type {import("../../lib/form_values.js").FieldSpec} */
const MILES = { name: "miles", label: "Miles", kind: "decimal", unit: "miles", isRequired: true };
const FAULT_FIELDS = { "days.0.miles": "miles" };

/**
 * @param {{ vehicleId: string, shown: ShownDay, onSaved: () => void, onCancel: () => void }} props
 */
function DayForm({ vehicleId, shown: { on, day }, onSaved, onCancel }) {
  const submission = useSubmission();
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async (key) => {
    await enterDiary(ownHouseholdId(), vehicleId, [{ on, miles: String(values.miles).trim() }], key);
    say("Miles saved. The plan is being worked out anew.");
    onSaved();
  });
  return html`<div class="inset"><h3>${formatDay(on)}</h3><${SpecForm} fields=${[MILES]} start=${{ miles: day?.miles ?? "" }} action="Save day"
    submission=${submission} onSubmit=${save} onCancel=${onCancel} faultFields=${FAULT_FIELDS} /></div>`;
}

/** @param {{ vehicleId: string, shown: ShownDay[], onChange: () => void }} props */
export function DiaryDays({ vehicleId, shown, onChange }) {
  const [edited, setEdited] = useState("");
  const removal = useSubmission();
  const remove = (/** @type {DiaryDay} */ day) => removal.run(async () => {
    await removeDiaryDay(ownHouseholdId(), vehicleId, day.id);
    onChange();
    const undo = () => enterDiary(ownHouseholdId(), vehicleId, [{ on: day.on, miles: day.miles }], `undo-${day.id}`)
      .then(onChange, () => say("The day could not be put back. Please enter it again."));
    say(`${formatDay(day.on)} taken out.`, { label: "Undo", run: undo });
  });
  const saved = () => {
    setEdited("");
    onChange();
  };
  return html`<section class="card" aria-labelledby="diary-days-title">
    <h2 id="diary-days-title">The last ${shown.length} days</h2>
    <${ProblemNote} problem=${removal.problem} takesFocus />
    <ul class="row-list diary-days">${shown.map((one) => html`<li key=${one.on} class="row-item">
      ${edited === one.on
        ? html`<${DayForm} vehicleId=${vehicleId} shown=${one} onSaved=${saved} onCancel=${() => setEdited("")} />`
        : html`<div><p><span class="nowrap">${formatDay(one.on)}:</span> ${one.day ? html`<strong class="nowrap">${one.day.miles} miles</strong>` : "not entered"}</p></div>
          <div class="row-actions">
            <button type="button" class="button button-quiet" onClick=${() => setEdited(one.on)}>${one.day ? "Change" : "Enter"}<span class="unseen"> ${formatDay(one.on)}</span></button>
            ${one.day && html`<button type="button" class="button button-quiet" disabled=${removal.isBusy}
              onClick=${() => remove(/** @type {DiaryDay} */ (one.day))}>Remove<span class="unseen"> ${formatDay(one.on)}</span></button>`}
          </div>`}
    </li>`)}</ul>
  </section>`;
}
