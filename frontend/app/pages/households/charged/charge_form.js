/** One charge by hand, in seconds: where, from when until when, how much. */
import { html } from "htm/preact";
import { useMemo, useState } from "preact/hooks";
import { ChoiceGroup } from "../../../components/choice_group.js";
import { SpecForm } from "../../../components/spec_form.js";
import { chargeFields, chargeOf, chargeStart, FAULT_FIELDS, PLACE_WORDS } from "../../../lib/charged_words.js";

/** @typedef {import("../../../api/charging_types.d.ts").ChargingEntry} ChargingEntry */
/** @typedef {import("../../../api/charging_types.d.ts").ChargingPlace} ChargingPlace */
/** @typedef {import("../../../api/charging_types.d.ts").ChargingRecord} ChargingRecord */
/** @typedef {import("../../../lib/charged_words.js").Named} Named */

const PLACES = Object.entries(PLACE_WORDS).map(([value, label]) => ({ value, label }));

/**
 * @param {{
 *   cars: Named[], zone: string, today: string, record?: ChargingRecord | null, action: string,
 *   submission: import("../../../state/submission.js").Submission,
 *   onSend: (entry: ChargingEntry) => unknown, onCancel?: () => void,
 * }} props
 */
export function ChargeForm({ cars, zone, today, record = null, action, submission, onSend, onCancel }) {
  const [place, setPlace] = useState(/** @type {ChargingPlace} */ (record?.place ?? "home"));
  const fields = useMemo(() => chargeFields(cars, place === "home"), [cars, place]);
  const start = useMemo(() => chargeStart(cars, today, zone, record), [cars, today, zone, record]);
  return html`<div class="charge-form">
    <${ChoiceGroup} spec=${{ name: "place", label: "Where", kind: "select", options: PLACES }} value=${place}
      onInput=${(/** @type {string} */ value) => setPlace(/** @type {ChargingPlace} */ (value))} />
    <${SpecForm} fields=${fields} start=${start} action=${action} submission=${submission} faultFields=${FAULT_FIELDS} onCancel=${onCancel}
      onSubmit=${(/** @type {import("../../../lib/form_values.js").FormValues} */ values) => onSend(chargeOf(values, place, cars, zone))} />
  </div>`;
}
