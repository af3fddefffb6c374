/** What the ranking needs of the home's meter: its kind, the yearly use, readings on days. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { addMeterReading, getMeter, listMeterReadings, putMeter, removeMeterReading } from "../../../api/tariff_ranking.js";
import { Loaded } from "../../../components/loaded.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { SpecForm } from "../../../components/spec_form.js";
import { bodyOf, startValues } from "../../../lib/form_values.js";
import { METER_WORDS } from "../../../lib/tariff_ranking_words.js";
import { formatDate } from "../../../lib/time.js";
import { choices } from "../../../lib/wording.js";
import { say } from "../../../state/notices.js";
import { useResource } from "../../../state/resource.js";
import { useSubmission } from "../../../state/submission.js";

/** @typedef {import("../../../api/tariff_ranking_types.d.ts").Meter} Meter */
/** @typedef {import("../../../api/tariff_ranking_types.d.ts").MeterReading} MeterReading */
/** @typedef {import("../../../lib/form_values.js").FormValues} FormValues */

/** @type {import("../../../lib/form_values.js").FieldSpec[]} */
const METER_FIELDS = [
  { name: "meter_kind", label: "Your electricity meter", kind: "select", options: choices(METER_WORDS), hint: "It decides which tariffs you can take." },
  { name: "yearly_kwh", label: "What the house uses in a year, without cars", kind: "number", unit: "kWh", min: 0, step: 1, hint: "From a year's bills. Empty: not known." },
];

/** @type {import("../../../lib/form_values.js").FieldSpec[]} */
const READING_FIELDS = [
  { name: "read_on", label: "Read on", kind: "date", isRequired: true },
  { name: "kwh", label: "The meter stood at", kind: "decimal", unit: "kWh", isRequired: true },
  { name: "register", label: "Register", kind: "text", hint: "Such as day or night. Empty where there is one only." },
];

/** @param {{ householdId: string, onChange: () => void }} props */
function Readings({ householdId, onChange }) {
  const readings = useResource((reading) => listMeterReadings(householdId, reading), [householdId]);
  const adding = useSubmission();
  const removing = useSubmission();
  const [made, setMade] = useState(0);
  const changed = (/** @type {string} */ words) => {
    readings.reload();
    onChange();
    say(words);
  };
  const add = (/** @type {FormValues} */ values) => adding.run(async (key) => {
    await addMeterReading(householdId, bodyOf(READING_FIELDS, values), key);
    setMade(made + 1);
    changed("Reading added.");
  });
  const remove = (/** @type {MeterReading} */ each) => removing.run(async () => {
    await removeMeterReading(householdId, each.id);
    changed("Reading taken out.");
  });
  return html`<h3>Readings of your meter</h3>
    <p class="small">Two readings four weeks apart or more tell what the house uses better than any estimate.</p>
    <${ProblemNote} problem=${removing.problem} takesFocus />
    <${Loaded} of=${readings} lines=${2} size="line">${(/** @type {{ items: MeterReading[] }} */ { items }) =>
      items.length === 0 ? html`<p>No reading yet.</p>` : html`<ul class="row-list">${items.map((each) => html`<li key=${each.id} class="row-item">
        <div>${formatDate(each.read_on)}: ${each.kwh} kWh${each.register && `, ${each.register}`}</div>
        <button type="button" class="button button-quiet" disabled=${removing.isBusy} onClick=${() => remove(each)}>Take out<span class="unseen"> the reading of ${formatDate(each.read_on)}</span></button>
      </li>`)}</ul>`}</${Loaded}>
    <${SpecForm} key=${made} fields=${READING_FIELDS} start=${startValues(READING_FIELDS)} action="Add reading" submission=${adding} onSubmit=${add} />`;
}

/** @param {{ householdId: string, onChange: () => void }} props */
export function MeterBox({ householdId, onChange }) {
  const meter = useResource((reading) => getMeter(householdId, reading), [householdId]);
  const submission = useSubmission({ onStale: meter.reload });
  const save = (/** @type {FormValues} */ values) => submission.run(async () => {
    const { data, etag } = await putMeter(householdId, /** @type {Meter} */ (bodyOf(METER_FIELDS, values)), meter.etag);
    meter.put(data, etag);
    say("Saved. The tariffs are ranked anew.");
    onChange();
  });
  return html`<section class="card" aria-labelledby="meter">
    <h2 id="meter">Your meter and what the house uses</h2>
    <${Loaded} of=${meter} lines=${3} size="line">${(/** @type {Meter} */ data) => html`
      <${SpecForm} fields=${METER_FIELDS} start=${startValues(METER_FIELDS, data)} action="Save" submission=${submission} onSubmit=${save} />`}</${Loaded}>
    <${Readings} householdId=${householdId} onChange=${onChange} />
  </section>`;
}
