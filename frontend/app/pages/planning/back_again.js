/** A car that comes back earlier or later than planned: its trips of today, each with its return to be changed. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { addJourney, changeJourney, getJourney, getRoutine, listJourneys } from "../../api/households.js";
import { Field } from "../../components/field.js";
import { Loaded } from "../../components/loaded.js";
import { ProblemNote } from "../../components/problem_note.js";
import { dayWords } from "../../lib/headline_words.js";
import { formatTime, instantOf, localDay, localTime } from "../../lib/time.js";
import { movedReturn, tripsNow } from "../../lib/trips_now.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/types.d.ts").Journey} Journey */
/** @typedef {import("../../api/types.d.ts").RoutineDeparture} RoutineDeparture */
/** @typedef {import("../../lib/trips_now.js").TripNow} TripNow */
/** @typedef {{ routine: RoutineDeparture[], journeys: Journey[] }} Diary */

const MINUTE_MS = 60_000;

/** @type {import("../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [
  { name: "on", label: "Back on", kind: "date", isRequired: true },
  { name: "at", label: "Back at", kind: "time", isRequired: true },
];

/**
 * Enter another return: first what it would push out, then the trip itself.
 * @param {string} vehicleId
 * @param {TripNow} trip
 * @param {import("../../lib/trips_now.js").MovedReturn} entries
 * @param {string} key
 */
async function enter(vehicleId, trip, { others, moved }, key) {
  const householdId = ownHouseholdId();
  for (const [place, other] of others.entries()) await addJourney(householdId, vehicleId, other, `${key}-${place}`);
  if (!trip.journey) {
    await addJourney(householdId, vehicleId, moved, key);
    return;
  }
  const { etag } = await getJourney(householdId, vehicleId, trip.journey.id);
  await changeJourney(householdId, vehicleId, trip.journey.id, moved, etag);
}

/**
 * @param {{ vehicleId: string, trip: TripNow, diary: Diary, zone: string, nowMs: number, isWorking: boolean, onSaved: () => void }} props
 */
function ReturnForm({ vehicleId, trip, diary, zone, nowMs, isWorking, onSaved }) {
  const [entry, setEntry] = useState(/** @type {Record<string, string>} */ ({ on: localDay(trip.returnsMs, zone), at: localTime(trip.returnsMs, zone) }));
  const [fault, setFault] = useState("");
  const submission = useSubmission();
  const send = (/** @type {number} */ returnsMs) => {
    const isTooEarly = returnsMs <= Math.max(trip.leavesMs, nowMs);
    setFault(isTooEarly ? "Must lie ahead, and after it left." : "");
    if (isTooEarly) return;
    submission.run(async (key) => {
      await enter(vehicleId, trip, movedReturn(trip, returnsMs, { ...diary, nowMs, zone }), key);
      onSaved();
    });
  };
  const save = (/** @type {Event} */ event) => {
    event.preventDefault();
    send(instantOf(entry.on, entry.at, zone));
  };
  const isAway = trip.leavesMs <= nowMs;
  const isHeld = submission.isBusy || isWorking;
  return html`<form class="charge-entry back-again" onSubmit=${save} aria-label=${`Return of the trip that leaves at ${formatTime(trip.leavesMs, zone)}`}>
    <p class="small">${isAway ? "Away since" : "Leaves at"} ${formatTime(trip.leavesMs, zone)}; planned to be back at ${formatTime(trip.returnsMs, zone)} ${dayWords(trip.returnsMs, nowMs, zone)}.</p>
    <${ProblemNote} problem=${submission.problem} takesFocus />
    <div class="charge-entry-row">
      ${FIELDS.map((spec) => html`<${Field} key=${spec.name} spec=${spec} value=${entry[spec.name]} fault=${spec.name === "at" ? fault : ""}
        onInput=${(/** @type {string} */ value) => setEntry((old) => ({ ...old, [spec.name]: value }))} />`)}
      <button class="button" disabled=${isHeld}>${isWorking ? "Working…" : "Change the return"}</button>
      ${isAway && html`<button type="button" class="button" disabled=${isHeld}
        onClick=${() => send(Math.ceil(Date.now() / MINUTE_MS + 1) * MINUTE_MS)}>It is back now</button>`}
    </div>
  </form>`;
}

/**
 * @param {{ vehicleId: string, zone: string, nowMs: number, isWorking: boolean, onSaved: () => void }} props
 */
export function BackAgain({ vehicleId, zone, nowMs, isWorking, onSaved }) {
  const householdId = ownHouseholdId();
  const diary = useResource(async (reading) => {
    const [routine, journeys] = await Promise.all([getRoutine(householdId, vehicleId, reading), listJourneys(householdId, vehicleId, reading)]);
    return { ...routine, data: { routine: routine.data.departures, journeys: journeys.data.items } };
  }, [vehicleId]);
  const saved = () => {
    diary.reload();
    onSaved();
  };
  return html`<${Loaded} of=${diary} lines=${2} size="line">${(/** @type {Diary} */ data) => {
    const trips = tripsNow(data.routine, data.journeys, nowMs, zone);
    return html`${trips.length === 0 && html`<p class="small">No trip is under way or left for today.</p>`}
      ${trips.map((trip) => html`<${ReturnForm} key=${`${trip.leavesMs}-${trip.returnsMs}`} vehicleId=${vehicleId} trip=${trip} diary=${data} zone=${zone} nowMs=${nowMs}
        isWorking=${isWorking} onSaved=${saved} />`)}
      <p class="small">It goes into the car's <a href=${`/cars/${vehicleId}`}>journeys on dates</a>, where it can be taken out again. The miles stay as they were.</p>`;
  }}</${Loaded}>`;
}
