/** What the odometer stood at, and what that makes of days nobody kept: an estimate to look at, no more. */
import { html } from "htm/preact";
import { addOdometerReading, getOdometer, removeOdometerReading } from "../../api/odometer.js";
import { Loaded } from "../../components/loaded.js";
import { ProblemNote } from "../../components/problem_note.js";
import { SpecForm } from "../../components/spec_form.js";
import { counted, formatMiles } from "../../lib/quantity.js";
import { formatDate, formatDay } from "../../lib/time.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/lead_types.d.ts").Odometer} Odometer */
/** @typedef {import("../../api/lead_types.d.ts").OdometerReading} OdometerReading */

const SHOWN_ESTIMATES = 14;

/**
 * What two readings say, in words.
 * @param {Odometer["between"][number]} between
 * @returns {string}
 */
export function betweenWords(between) {
  const span = `${formatDay(between.after_on)} to ${formatDay(between.until_on)}: ${formatMiles(between.miles)}`;
  if (between.is_less) return `${span}. Your diary has more for these days, ${formatMiles(between.kept_miles)}: one of the two is mistyped.`;
  if (between.open_day_count === 0) return `${span}, and every day is in your diary.`;
  return `${span}, of which ${formatMiles(between.kept_miles)} in your diary; ${counted(between.open_day_count, "day")} not kept.`;
}

/** @param {{ today: string, vehicleId: string, onSaved: () => void }} props */
function ReadingForm({ today, vehicleId, onSaved }) {
  const submission = useSubmission();
  /** @type {import("../../lib/form_values.js").FieldSpec[]} */
  const fields = [
    { name: "read_on", label: "Day", kind: "date", isRequired: true },
    { name: "miles", label: "Odometer", kind: "decimal", unit: "miles", isRequired: true, hint: "As it stood when that day ended" },
  ];
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async (key) => {
    await addOdometerReading(ownHouseholdId(), vehicleId, { read_on: String(values.read_on), miles: String(values.miles).trim() }, key);
    say("Reading saved.");
    onSaved();
  });
  return html`<${SpecForm} fields=${fields} start=${{ read_on: today, miles: "" }} action="Save reading" submission=${submission} onSubmit=${save} />`;
}

/** @param {{ vehicleId: string, today: string }} props */
export function DiaryOdometer({ vehicleId, today }) {
  const householdId = ownHouseholdId();
  const odometer = useResource((reading) => getOdometer(householdId, vehicleId, reading), [vehicleId]);
  const removal = useSubmission();
  const remove = (/** @type {OdometerReading} */ reading) => removal.run(async () => {
    await removeOdometerReading(householdId, vehicleId, reading.id);
    say(`Reading of ${formatDate(reading.read_on)} taken out.`);
    odometer.reload();
  });
  return html`
    <p>Two readings say how far the car went between them. Days that you typed yourself always stand.</p>
    <${Loaded} of=${odometer} lines=${2} size="line">${(/** @type {Odometer} */ data) => html`
      <${ProblemNote} problem=${removal.problem} takesFocus />
      ${data.items.length > 0 && html`<ul class="row-list">${[...data.items].reverse().map((reading) => html`<li key=${reading.id} class="row-item">
        <p>${formatDate(reading.read_on)}: <strong class="nowrap">${Number(reading.miles).toLocaleString("en-GB")} miles</strong></p>
        <div class="row-actions"><button type="button" class="button button-quiet" disabled=${removal.isBusy} onClick=${() => remove(reading)}>Remove<span class="unseen"> ${formatDate(reading.read_on)}</span></button></div>
      </li>`)}</ul>`}
      ${data.between.map((between) => html`<p key=${between.after_on}>${betweenWords(between)}</p>`)}
      ${data.estimated.length > 0 && html`<p><strong>Estimated from odometer</strong>, not counted anywhere: ${data.estimated.slice(-SHOWN_ESTIMATES).map(({ on, miles }) => `${formatDay(on)} ${Number(miles)}`).join(", ")} miles.</p>`}
      <${ReadingForm} key=${data.items.length} today=${today} vehicleId=${vehicleId} onSaved=${odometer.reload} />
    `}</${Loaded}>`;
}
