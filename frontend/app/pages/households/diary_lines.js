/** Many days at once, as lines of text: from a notebook, a table, or what the car itself keeps. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { enterDiary } from "../../api/habits.js";
import { Field } from "../../components/field.js";
import { ProblemNote } from "../../components/problem_note.js";
import { readLines } from "../../lib/diary.js";
import { counted } from "../../lib/quantity.js";
import { addDays } from "../../lib/time.js";
import { say } from "../../state/notices.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";
import { useUnsavedGuard } from "../../state/unsaved.js";

const FAULTS_SHOWN = 5;

/** @param {{ vehicleId: string, today: string, onSaved: () => void }} props */
export function DiaryLines({ vehicleId, today, onSaved }) {
  const [text, setText] = useState("");
  const submission = useSubmission();
  useUnsavedGuard(text.trim() !== "" && !submission.isBusy);
  const { days, faults } = readLines(text, today);
  const spec = /** @type {const} */ ({
    name: "lines", label: "One day a line: date, miles", kind: "long", hint: `Such as ${addDays(today, -1)}, 46 or 46.5. A day that is kept already takes the new miles.`,
  });
  const save = (/** @type {Event} */ event) => {
    event.preventDefault();
    submission.run(async (key) => {
      await enterDiary(ownHouseholdId(), vehicleId, days, key);
      setText("");
      say(`${counted(days.length, "day")} saved. The plan is being worked out anew.`);
      onSaved();
    });
  };
  return html`<form class="form" onSubmit=${save}>
    <${ProblemNote} problem=${submission.problem} takesFocus />
    <${Field} spec=${spec} value=${text} onInput=${setText} fault=${faults.slice(0, FAULTS_SHOWN).join(" ")} />
    <div class="form-actions"><button class="button" disabled=${submission.isBusy || faults.length > 0 || days.length === 0}>${
      submission.isBusy ? "Saving…" : days.length === 0 ? "Save the days" : `Save ${counted(days.length, "day")}`}</button></div>
  </form>`;
}
