/** Journeys on dates: listed, added, changed, removed with an undo. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { addJourney, deleteJourney, getJourney, listJourneys } from "../../api/households.js";
import { Loaded } from "../../components/loaded.js";
import { ProblemNote } from "../../components/problem_note.js";
import { formatMiles } from "../../lib/quantity.js";
import { formatInstant, ms } from "../../lib/time.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";
import { JourneyForm } from "./journey_form.js";

/** @typedef {import("../../api/types.d.ts").Journey} Journey */

/**
 * @param {{ journey: Journey, zone: string, onEdit: () => void, onRemove: () => void, isBusy: boolean }} props
 */
function JourneyItem({ journey, zone, onEdit, onRemove, isBusy }) {
  const leaves = formatInstant(journey.leaves_at, zone);
  const remarks = [journey.is_important && "important", journey.replaces_routine && "in place of the routine", journey.is_business && "for work", journey.note].filter(Boolean);
  return html`<li class="row-item">
    <div>
      <p><strong>${leaves}</strong> to ${formatInstant(journey.returns_at, zone)}, ${formatMiles(journey.miles)}</p>
      ${remarks.length > 0 && html`<p class="small">${remarks.join(" · ")}</p>`}
    </div>
    <div class="row-actions">
      <button type="button" class="button button-quiet" onClick=${onEdit}>Change<span class="unseen"> the journey of ${leaves}</span></button>
      <button type="button" class="button button-quiet" disabled=${isBusy} onClick=${onRemove}>Remove<span class="unseen"> the journey of ${leaves}</span></button>
    </div>
  </li>`;
}

/** @param {{ vehicleId: string, zone: string }} props */
export function Journeys({ vehicleId, zone }) {
  const householdId = ownHouseholdId();
  const journeys = useResource((reading) => listJourneys(householdId, vehicleId, reading), [vehicleId]);
  const [edited, setEdited] = useState(/** @type {string | null} */ (null));
  const removal = useSubmission({ onStale: journeys.reload });
  const remove = (/** @type {Journey} */ journey) => removal.run(async () => {
    const { etag } = await getJourney(householdId, vehicleId, journey.id);
    await deleteJourney(householdId, vehicleId, journey.id, etag);
    journeys.reload();
    const { id, ...entry } = journey;
    const undo = () => addJourney(householdId, vehicleId, entry, `undo-${id}`)
      .then(journeys.reload, () => say("The journey could not be put back. Please enter it again."));
    say(`Journey of ${formatInstant(journey.leaves_at, zone)} removed.`, { label: "Undo", run: undo });
  });
  const close = () => setEdited(null);
  const saved = () => {
    close();
    journeys.reload();
  };
  return html`
    <${ProblemNote} problem=${removal.problem} takesFocus />
    <${Loaded} of=${journeys} lines=${2} size="line">${(/** @type {{ items: Journey[] }} */ { items }) => html`
      ${items.length === 0 && edited === null && html`<p>No journeys on dates. Add one for a trip that the routine does not show, such as a weekend away.</p>`}
      <ul class="row-list">${[...items].sort((left, right) => ms(left.leaves_at) - ms(right.leaves_at)).map((journey) =>
        edited === journey.id
          ? html`<li key=${journey.id}><${JourneyForm} vehicleId=${vehicleId} zone=${zone} journeyId=${journey.id} onSaved=${saved} onCancel=${close} /></li>`
          : html`<${JourneyItem} key=${journey.id} journey=${journey} zone=${zone} isBusy=${removal.isBusy}
              onEdit=${() => setEdited(journey.id)} onRemove=${() => remove(journey)} />`)}</ul>
      ${edited === "new"
        ? html`<${JourneyForm} vehicleId=${vehicleId} zone=${zone} journeyId=${null} onSaved=${saved} onCancel=${close} />`
        : html`<button type="button" class="button" onClick=${() => setEdited("new")}>Add a journey</button>`}
    `}</${Loaded}>
  `;
}
