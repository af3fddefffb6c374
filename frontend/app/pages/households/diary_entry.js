/** Today's and yesterday's miles, the two that somebody comes for. */
import { html } from "htm/preact";
import { enterDiary } from "../../api/habits.js";
import { SpecForm } from "../../components/spec_form.js";
import { formatDay } from "../../lib/time.js";
import { say } from "../../state/notices.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/habit_types.d.ts").DiaryDay} DiaryDay */

const NAMES = ["Today", "Yesterday"];

/**
 * @param {{ vehicleId: string, offered: { on: string, day: DiaryDay | null }[], onSaved: () => void }} props
 */
export function DiaryEntry({ vehicleId, offered, onSaved }) {
  const submission = useSubmission();
  /** @type {import("../../lib/form_values.js").FieldSpec[]} */
  const fields = offered.map(({ on }, ago) => ({ name: on, label: `${NAMES[ago]}, ${formatDay(on)}`, kind: "decimal", unit: "miles" }));
  const start = Object.fromEntries(offered.map(({ on, day }) => [on, day?.miles ?? ""]));
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => {
    const days = offered.map(({ on }) => ({ on, miles: String(values[on] ?? "").trim() })).filter(({ on, miles }) => miles !== "" && miles !== start[on]);
    if (days.length === 0) return say("There is nothing new to save.");
    return submission.run(async (key) => {
      await enterDiary(ownHouseholdId(), vehicleId, days, key);
      say("Miles saved. The plan is being worked out anew.");
      onSaved();
    });
  };
  // The service names a day by its place among those sent.
  const faultFields = Object.fromEntries(offered.map(({ on }, place) => [`days.${place}.miles`, on]));
  return html`<section class="card" aria-labelledby="diary-entry-title">
    <h2 id="diary-entry-title">How far it went</h2>
    <${SpecForm} fields=${fields} start=${start} action="Save miles" submission=${submission} onSubmit=${save} faultFields=${faultFields} />
    <p class="small">All trips of the day together; 0 where it stood.</p>
  </section>`;
}
