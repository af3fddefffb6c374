/** One trip entered in seconds: the day is today, and the last way can be taken again or turned round. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { addTrip } from "../../api/trips.js";
import { SpecForm } from "../../components/spec_form.js";
import { claimMiles } from "../../lib/claim_words.js";
import { say } from "../../state/notices.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";
import { tripEntry, tripFields, tripStart } from "./trip_form.js";

/** @typedef {import("../../api/claim_types.d.ts").Trip} Trip */
/** @typedef {import("../../api/claim_types.d.ts").TripEntry} TripEntry */

/**
 * @param {{ cars: { id: string, label: string }[], today: string, day: string, last: Trip | null, onSaved: () => void }} props
 *   day: the one the form starts with; last: the latest trip of the month, if any
 */
export function TripEntryForm({ cars, today, day, last, onSaved }) {
  const submission = useSubmission();
  const [template, setTemplate] = useState(/** @type {TripEntry | null} */ (null));
  // A saved trip leaves an empty form for the next.
  const [turn, setTurn] = useState(0);
  const take = (/** @type {TripEntry | null} */ trip) => {
    setTemplate(trip);
    setTurn(turn + 1);
  };
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async (key) => {
    const { data } = await addTrip(ownHouseholdId(), tripEntry(values, cars), key);
    say(`${data.origin} to ${data.destination}, ${claimMiles(data.miles)}: added.`);
    take(null);
    onSaved();
  });
  return html`<section class="card" aria-labelledby="trip-entry-title">
    <h2 id="trip-entry-title">Add a business trip</h2>
    ${last && html`<div class="quick-ways"><button type="button" class="button" onClick=${() => take(last)}>Again: ${last.origin} to ${last.destination}</button>
      <button type="button" class="button" onClick=${() => take({ ...last, origin: last.destination, destination: last.origin })}>Back: ${last.destination} to ${last.origin}</button></div>`}
    <${SpecForm} key=${turn} fields=${tripFields(cars, today)} start=${tripStart(template, day, cars)} action="Add the trip" submission=${submission} onSubmit=${save} />
    <p class="small">Only driving for work counts. The way between home and where you usually work is private, also on a day with other trips.</p>
  </section>`;
}
