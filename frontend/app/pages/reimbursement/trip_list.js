/** The month's business trips: read, changed, taken out with an undo while their claim has not been sent. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { addTrip, changeTrip, deleteTrip, getTrip } from "../../api/trips.js";
import { Empty } from "../../components/empty.js";
import { ProblemNote } from "../../components/problem_note.js";
import { SpecForm } from "../../components/spec_form.js";
import { STATE_WORDS, claimMiles, monthWords } from "../../lib/claim_words.js";
import { counted } from "../../lib/quantity.js";
import { formatDay } from "../../lib/time.js";
import { say } from "../../state/notices.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";
import { tripEntry, tripFields, tripStart } from "./trip_form.js";

/** @typedef {import("../../api/claim_types.d.ts").Trip} Trip */
/** @typedef {{ id: string, label: string }[]} Cars */

/** @param {{ trip: Trip, cars: Cars, today: string, onSaved: () => void, onCancel: () => void }} props */
function TripForm({ trip, cars, today, onSaved, onCancel }) {
  const submission = useSubmission();
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async () => {
    const { etag } = await getTrip(ownHouseholdId(), trip.id);
    await changeTrip(ownHouseholdId(), trip.id, tripEntry(values, cars), etag);
    say("Trip changed.");
    onSaved();
  });
  return html`<div class="inset"><h3>Change the trip of ${formatDay(trip.on_date)}</h3><${SpecForm} fields=${tripFields(cars, today)} start=${tripStart(trip, trip.on_date, cars)}
    action="Save trip" submission=${submission} onSubmit=${save} onCancel=${onCancel} /></div>`;
}

/** @param {{ trip: Trip, isBusy: boolean, onEdit: () => void, onRemove: () => void }} props */
function TripItem({ trip, isBusy, onEdit, onRemove }) {
  const name = `${formatDay(trip.on_date)}, ${trip.origin} to ${trip.destination}`;
  return html`<div>
      <p><span class="nowrap">${formatDay(trip.on_date)}:</span> <strong>${trip.origin} to ${trip.destination}</strong>, <span class="nowrap">${claimMiles(trip.miles)}</span></p>
      <p class="small">${trip.reason} · ${trip.vehicle_label}${trip.claim_id && trip.claim_state && html` · <a href=${`/miles/${trip.claim_id}`}>claim: ${STATE_WORDS[trip.claim_state].toLowerCase()}</a>`}</p>
    </div>
    ${!trip.is_locked && html`<div class="row-actions">
      <button type="button" class="button button-quiet" onClick=${onEdit}>Change<span class="unseen"> ${name}</span></button>
      <button type="button" class="button button-quiet" disabled=${isBusy} onClick=${onRemove}>Remove<span class="unseen"> ${name}</span></button>
    </div>`}`;
}

/** @param {{ month: string, trips: import("../../api/claim_types.d.ts").Trips, cars: Cars, today: string, onChange: () => void }} props */
export function TripList({ month, trips, cars, today, onChange }) {
  const [edited, setEdited] = useState("");
  const removal = useSubmission({ onStale: onChange });
  const remove = (/** @type {Trip} */ trip) => removal.run(async () => {
    const { etag } = await getTrip(ownHouseholdId(), trip.id);
    await deleteTrip(ownHouseholdId(), trip.id, etag);
    onChange();
    const { vehicle_id, on_date, origin, destination, reason, miles } = trip;
    const undo = () => addTrip(ownHouseholdId(), { vehicle_id, on_date, origin, destination, reason, miles }, `undo-${trip.id}`)
      .then(onChange, () => say("The trip could not be put back. Please enter it again."));
    say(`Trip of ${formatDay(trip.on_date)} removed.`, { label: "Undo", run: undo });
  });
  const saved = () => {
    setEdited("");
    onChange();
  };
  return html`<section class="card" aria-labelledby="trips-title">
    <h2 id="trips-title">Trips of ${monthWords(month)}</h2>
    <${ProblemNote} problem=${removal.problem} takesFocus />
    ${trips.items.length === 0
      ? html`<${Empty} title="No business trip in this month yet"><p>Add one above, take it from your journeys, or bring a list in.</p></${Empty}>`
      : html`<p>${counted(trips.total, "trip")}, ${claimMiles(trips.miles)}.</p>
        <ul class="row-list">${trips.items.map((trip) => html`<li key=${trip.id} class="row-item">${edited === trip.id
          ? html`<${TripForm} trip=${trip} cars=${cars} today=${today} onSaved=${saved} onCancel=${() => setEdited("")} />`
          : html`<${TripItem} trip=${trip} isBusy=${removal.isBusy} onEdit=${() => setEdited(trip.id)} onRemove=${() => remove(trip)} />`}</li>`)}</ul>
        ${trips.items.length < trips.total && html`<p>The first ${trips.items.length} are shown.</p>`}`}
  </section>`;
}
