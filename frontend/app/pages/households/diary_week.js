/** The last seven days in one form: seven numbers, "next" on the keyboard from one to the next, one save. */
import { html } from "htm/preact";
import { useRef } from "preact/hooks";
import { enterDiary } from "../../api/habits.js";
import { ProblemNote } from "../../components/problem_note.js";
import { differs } from "../../lib/form_values.js";
import { fieldFault } from "../../lib/problem.js";
import { counted } from "../../lib/quantity.js";
import { formatDay } from "../../lib/time.js";
import { useEntries } from "../../state/entries.js";
import { say } from "../../state/notices.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";
import { useUnsavedGuard } from "../../state/unsaved.js";

/** @typedef {import("../../api/habit_types.d.ts").DiaryDay} DiaryDay */
/** @typedef {{ on: string, day: DiaryDay | null }} ShownDay */

const NAMES = ["Today", "Yesterday"];

/**
 * What was typed anew, to send: the days whose miles differ from what is kept.
 * @param {ShownDay[]} week
 * @param {Record<string, string | boolean>} values
 * @param {Record<string, string | boolean>} start
 * @returns {import("../../api/habit_types.d.ts").DiaryEntry[]}
 */
export function typedDays(week, values, start) {
  return week.map(({ on }) => ({ on, miles: String(values[on] ?? "").trim().replace(",", ".") })).filter(({ on, miles }) => miles !== "" && miles !== start[on]);
}

/** @param {{ vehicleId: string, week: ShownDay[], onSaved: () => void }} props week: today first */
export function DiaryWeek({ vehicleId, week, onSaved }) {
  const start = Object.fromEntries(week.map(({ on, day }) => [on, day ? String(Number(day.miles)) : ""]));
  const [values, setValues] = useEntries(start);
  const submission = useSubmission();
  const form = useRef(/** @type {HTMLFormElement | null} */ (null));
  useUnsavedGuard(!submission.isBusy && differs(values, start));
  const oldestFirst = [...week].reverse();
  const days = typedDays(oldestFirst, values, start);
  const save = (/** @type {Event} */ event) => {
    event.preventDefault();
    if (days.length === 0) return say("There is nothing new to save.");
    return submission.run(async (key) => {
      await enterDiary(ownHouseholdId(), vehicleId, days, key);
      say(`${counted(days.length, "day")} saved. The plan is being worked out anew.`);
      onSaved();
    });
  };
  // "Next" on a phone's keyboard is the Enter key: it goes on to the next day, and only the last one saves.
  const next = (/** @type {KeyboardEvent & { currentTarget: HTMLInputElement }} */ event) => {
    if (event.key !== "Enter") return;
    const entries = [...(form.current?.querySelectorAll("input") ?? [])];
    const following = entries[entries.indexOf(event.currentTarget) + 1];
    if (!following) return;
    event.preventDefault();
    following.focus();
    following.select();
  };
  const faultOf = (/** @type {string} */ on) => {
    const place = days.findIndex((day) => day.on === on);
    return place < 0 ? "" : [`days.${place}.miles`, `days.${place}.on`].map((field) => fieldFault(submission.problem, field)).filter(Boolean).join(" ");
  };
  return html`<section class="card" aria-labelledby="diary-week-title">
    <h2 id="diary-week-title">How far it went this week</h2>
    <form class="form" ref=${form} onSubmit=${save}>
      <${ProblemNote} problem=${submission.problem} takesFocus labelOf=${() => ""} />
      <div class="week-fields">${oldestFirst.map(({ on }, place) => {
        const ago = week.length - 1 - place;
        const id = `week-${on}`;
        const fault = faultOf(on);
        return html`<div key=${on} class="field field-decimal">
          <label for=${id}>${ago < NAMES.length ? `${NAMES[ago]}, ${formatDay(on)}` : formatDay(on)}</label>
          <div class="field-row"><input id=${id} name=${on} type="text" inputmode="decimal" autocomplete="off" enterkeyhint=${ago === 0 ? "done" : "next"} value=${values[on] ?? ""}
            aria-invalid=${fault ? "true" : undefined} aria-describedby=${fault ? `${id}-fault` : undefined} onKeyDown=${next}
            onInput=${(/** @type {{ currentTarget: HTMLInputElement }} */ event) => {
              const text = event.currentTarget.value;
              setValues((old) => ({ ...old, [on]: text }));
            }} /><span class="unit">miles</span></div>
          ${fault && html`<p class="fault" id=${`${id}-fault`}>${fault}</p>`}
        </div>`;
      })}</div>
      <div class="form-actions"><button class="button button-main" disabled=${submission.isBusy}>${submission.isBusy ? "Saving…" : "Save miles"}</button></div>
    </form>
    <p class="small">All trips of the day together; 0 where it stood. Leave a day empty that you do not know.</p>
  </section>`;
}
