/** When the people of a home swap cars, when it is quiet, and how sure the plan is to be. */
import { html } from "htm/preact";
import { getHabits, putHabits } from "../../api/habits.js";
import { Loaded } from "../../components/loaded.js";
import { SpecForm } from "../../components/spec_form.js";
import { HABIT_FAULT_FIELDS, habitFields, habitsOf, habitValues } from "../../lib/habits.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/habit_types.d.ts").Habits} Habits */

/** @param {{ householdId: string }} props */
export function HabitsForm({ householdId }) {
  const habits = useResource((reading) => getHabits(householdId, reading), [householdId]);
  const submission = useSubmission({ onStale: habits.reload });
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async () => {
    const { data, etag } = await putHabits(householdId, habitsOf(values), habits.etag);
    habits.put(data, etag);
    say("Saved. The plan is being worked out anew.");
  });
  return html`<${Loaded} of=${habits} lines=${4} size="line">${(/** @type {Habits} */ data) => html`
    <${SpecForm} fields=${habitFields(data)} start=${habitValues(data)} action="Save" submission=${submission}
      onSubmit=${save} faultFields=${HABIT_FAULT_FIELDS} />
  `}</${Loaded}>`;
}
