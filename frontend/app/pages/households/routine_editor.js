/** The weekly routine: for each weekday the departures with their return and miles; saved as a whole. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { getRoutine, putRoutine } from "../../api/households.js";
import { Loaded } from "../../components/loaded.js";
import { ProblemNote } from "../../components/problem_note.js";
import { differs } from "../../lib/form_values.js";
import { fieldFault } from "../../lib/problem.js";
import { copiedDay, departuresOn, newDeparture, routineFaults, sortedDepartures } from "../../lib/routine.js";
import { removeIn, setIn } from "../../lib/set_in.js";
import { WEEKDAYS } from "../../lib/plan_words.js";
import { useEntries } from "../../state/entries.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";
import { useUnsavedGuard } from "../../state/unsaved.js";
import { RoutineDay } from "./routine_day.js";

/** @typedef {import("../../api/types.d.ts").Routine} Routine */
/** @typedef {import("../../api/types.d.ts").RoutineDeparture} RoutineDeparture */

const WORKDAYS = [0, 1, 2, 3, 4];

/** @param {{ vehicleId: string, routine: import("../../state/resource.js").Resource<Routine> }} props */
function RoutineForm({ vehicleId, routine }) {
  const stored = routine.data?.departures ?? [];
  const [departures, setDepartures] = useEntries(stored);
  const [isTried, setTried] = useState(false);
  const submission = useSubmission({ onStale: routine.reload });
  const isDirty = differs(departures, stored);
  useUnsavedGuard(isDirty);
  const faults = isTried ? routineFaults(departures) : {};
  const faultOf = (/** @type {string} */ path) => faults[path] || fieldFault(submission.problem, path);
  const save = async (/** @type {Event} */ event) => {
    event.preventDefault();
    setTried(true);
    if (Object.keys(routineFaults(departures)).length > 0) return;
    await submission.run(async () => {
      const { data, etag } = await putRoutine(ownHouseholdId(), vehicleId, { departures: sortedDepartures(departures) }, routine.etag);
      routine.put(data, etag);
      setTried(false);
      say("Routine saved. The plan is being worked out anew.");
    });
  };
  const actions = {
    change: (/** @type {number} */ place, /** @type {string} */ name, /** @type {any} */ value) => setDepartures((old) => setIn(old, `${place}.${name}`, value)),
    remove: (/** @type {number} */ place) => setDepartures((old) => removeIn(old, String(place))),
    add: (/** @type {number} */ day) => setDepartures((old) => [...old, newDeparture(old, day)]),
  };
  return html`<form class="form" onSubmit=${save} noValidate>
    <${ProblemNote} problem=${submission.problem} takesFocus />
    ${Object.keys(faults).length > 0 && html`<div class="note note-stop" role="alert"><p>Put the marked times and miles right, then save again.</p></div>`}
    <div class="routine">${WEEKDAYS.map((name, day) => html`<${RoutineDay} key=${name} name=${name} day=${day}
      rows=${departuresOn(departures, day)} faultOf=${faultOf} ...${actions} />`)}</div>
    <div class="form-actions">
      <button class="button button-main" disabled=${submission.isBusy || !isDirty}>${submission.isBusy ? "Saving…" : "Save routine"}</button>
      <button type="button" class="button" onClick=${() => setDepartures(copiedDay(departures, 0, WORKDAYS))}>Copy Monday to Friday</button>
      ${isDirty && html`<button type="button" class="button" onClick=${() => setDepartures(stored)}>Undo changes</button>`}
    </div>
  </form>`;
}

/** @param {{ vehicleId: string }} props */
export function RoutineEditor({ vehicleId }) {
  const routine = useResource((reading) => getRoutine(ownHouseholdId(), vehicleId, reading), [vehicleId]);
  return html`<${Loaded} of=${routine} lines=${4} size="line">${() => html`<${RoutineForm} vehicleId=${vehicleId} routine=${routine} />`}</${Loaded}>`;
}
