/** Add or change one dated journey. */
import { html } from "htm/preact";
import { useMemo } from "preact/hooks";
import { addJourney, changeJourney, getJourney } from "../../api/households.js";
import { Loaded } from "../../components/loaded.js";
import { SpecForm } from "../../components/spec_form.js";
import { JOURNEY_FAULT_FIELDS, JOURNEY_FIELDS, journeyBody, journeyValues } from "../../lib/journey_entry.js";
import { addDays, localDay } from "../../lib/time.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/types.d.ts").Journey} Journey */

/**
 * @param {{ vehicleId: string, zone: string, journeyId: string | null, onSaved: () => void, onCancel: () => void }} props
 */
export function JourneyForm({ vehicleId, zone, journeyId, onSaved, onCancel }) {
  const householdId = ownHouseholdId();
  const tomorrow = useMemo(() => addDays(localDay(Date.now(), zone), 1), [zone]);
  const stored = useResource(async (reading) => {
    if (journeyId) return getJourney(householdId, vehicleId, journeyId, reading);
    return { data: /** @type {Journey | false} */ (false), etag: null, status: 200 };
  }, [journeyId]);
  const submission = useSubmission({ onStale: stored.reload });
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async (key) => {
    const body = journeyBody(values, zone, stored.data || null);
    if (journeyId) await changeJourney(householdId, vehicleId, journeyId, body, stored.etag);
    else await addJourney(householdId, vehicleId, body, key);
    say("Journey saved. The plan is being worked out anew.");
    onSaved();
  });
  return html`<${Loaded} of=${stored} lines=${3} size="line">${(/** @type {Journey | false} */ journey) => html`
    <div class="inset"><h3>${journeyId ? "Change the journey" : "A new journey"}</h3>
      <${SpecForm} fields=${JOURNEY_FIELDS} start=${journeyValues(journey || null, zone, tomorrow)} action="Save journey"
        submission=${submission} onSubmit=${save} onCancel=${onCancel} faultFields=${JOURNEY_FAULT_FIELDS} /></div>
  `}</${Loaded}>`;
}
