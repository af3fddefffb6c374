/** Business trips out of planned journeys: where it went and why are asked for each that is taken. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { listBusinessJourneys, takeJourneys } from "../../api/trips.js";
import { Loaded } from "../../components/loaded.js";
import { SpecForm } from "../../components/spec_form.js";
import { claimMiles } from "../../lib/claim_words.js";
import { formatDay } from "../../lib/time.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/claim_types.d.ts").BusinessJourney} BusinessJourney */

/** @type {import("../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [
  { name: "origin", label: "From", kind: "text", isRequired: true },
  { name: "destination", label: "To", kind: "text", isRequired: true },
  { name: "reason", label: "Reason", kind: "text", isRequired: true, hint: "Your employer reads it; your own note stays with you." },
];
const FAULT_FIELDS = Object.fromEntries(FIELDS.map(({ name }) => [`journeys.0.${name}`, name]));

/** @param {{ journey: BusinessJourney, onTaken: () => void, onCancel: () => void }} props */
function TakeForm({ journey, onTaken, onCancel }) {
  const submission = useSubmission();
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async (key) => {
    const text = (/** @type {string} */ name) => String(values[name]).trim();
    const entry = { journey_id: journey.journey_id, origin: text("origin"), destination: text("destination"), reason: text("reason") };
    await takeJourneys(ownHouseholdId(), [entry], key);
    say(`Journey of ${formatDay(journey.on_date)} taken as a business trip.`);
    onTaken();
  });
  return html`<div class="inset"><${SpecForm} fields=${FIELDS} start=${{ origin: "", destination: "", reason: "" }} action="Take it"
    submission=${submission} onSubmit=${save} onCancel=${onCancel} faultFields=${FAULT_FIELDS} /></div>`;
}

/** @param {{ journey: BusinessJourney, onTaken: () => void }} props */
function JourneyItem({ journey, onTaken }) {
  const [isOpen, setOpen] = useState(false);
  const name = `the journey of ${formatDay(journey.on_date)}`;
  return html`<li class="row-item"><div>
      <p><span class="nowrap">${formatDay(journey.on_date)}:</span> ${claimMiles(journey.miles)}, ${journey.vehicle_label}</p>
      <p class="small">${[journey.is_business ? "for work" : "", journey.note].filter(Boolean).join(" · ")}</p>
    </div>
    ${journey.is_taken
      ? html`<p class="small">taken already</p>`
      : journey.is_past
        ? !isOpen && html`<div class="row-actions"><button type="button" class="button button-quiet" onClick=${() => setOpen(true)}>Take<span class="unseen"> ${name}</span></button></div>`
        : html`<p class="small">still to come</p>`}
    ${isOpen && !journey.is_taken && html`<${TakeForm} journey=${journey} onTaken=${onTaken} onCancel=${() => setOpen(false)} />`}
  </li>`;
}

/** @param {{ onSaved: () => void }} props */
export function TripJourneys({ onSaved }) {
  const journeys = useResource((reading) => listBusinessJourneys(ownHouseholdId(), reading), []);
  const taken = () => {
    journeys.reload();
    onSaved();
  };
  return html`<${Loaded} of=${journeys} lines=${2} size="line">${(/** @type {{ items: BusinessJourney[] }} */ { items }) =>
    items.length === 0
      ? html`<p>No journey of the last month can be taken. Tick that one is for work when you enter it under <a href="/cars">Cars</a>, and it stands here once it was driven.</p>`
      : html`<ul class="row-list">${items.map((journey) => html`<${JourneyItem} key=${journey.journey_id} journey=${journey} onTaken=${taken} />`)}</ul>`
  }</${Loaded}>`;
}
