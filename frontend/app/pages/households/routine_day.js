/** One weekday of the routine. */
import { html } from "htm/preact";
import { Field } from "../../components/field.js";
import { WEEKDAYS } from "../../lib/plan_words.js";

/** @typedef {import("../../api/types.d.ts").RoutineDeparture} RoutineDeparture */
/** @typedef {import("../../lib/form_values.js").FieldSpec} FieldSpec */

/**
 * The weekdays on which a trip that leaves on a day may return.
 * @param {number} day
 * @returns {{ value: string, label: string }[]}
 */
export function returnDays(day) {
  return WEEKDAYS.map((_, later) => {
    const label = later === 0 ? "same day" : `${WEEKDAYS[(day + later) % 7]}${later > 1 ? `, ${later} days later` : ""}`;
    return { value: String(later), label };
  });
}

/**
 * @param {{
 *   departure: RoutineDeparture, index: number, day: number,
 *   faultOf: (path: string) => string,
 *   change: (place: number, name: string, value: any) => void,
 *   remove: (place: number) => void,
 * }} props
 */
function DepartureRow({ departure, index, day, faultOf, change, remove }) {
  /** @type {FieldSpec[]} */
  const fields = [
    { name: "leaves_at", label: "Leaves", kind: "time", isRequired: true },
    { name: "returns_at", label: "Returns", kind: "time", isRequired: true },
    { name: "returns_days_later", label: "Return day", kind: "select", options: returnDays(day) },
    { name: "miles", label: "Miles in all", kind: "decimal", isRequired: true },
  ];
  const values = /** @type {Record<string, any>} */ (departure);
  return html`<div class="routine-trip" role="group" aria-label=${`Trip leaving on ${WEEKDAYS[day]} at ${departure.leaves_at}`}>
    ${fields.map((spec) => html`<${Field} key=${spec.name} spec=${spec} value=${String(values[spec.name])}
      fault=${faultOf(`departures.${index}.${spec.name}`)}
      onInput=${(/** @type {string} */ value) => change(index, spec.name, spec.name === "returns_days_later" ? Number(value) : value)} />`)}
    <button type="button" class="button button-quiet" onClick=${() => remove(index)}>Remove<span class="unseen"> this trip on ${WEEKDAYS[day]}</span></button>
  </div>`;
}

/**
 * @param {{
 *   name: string, day: number,
 *   rows: { departure: RoutineDeparture, index: number }[],
 *   faultOf: (path: string) => string,
 *   change: (place: number, name: string, value: any) => void,
 *   remove: (place: number) => void,
 *   add: (day: number) => void,
 * }} props
 */
export function RoutineDay({ name, day, rows, add, ...actions }) {
  return html`<fieldset class="routine-day">
    <legend>${name}</legend>
    <div class="routine-trips">
      ${rows.length === 0 && html`<p class="small">At home all day</p>`}
      ${rows.map(({ departure, index }) => html`<${DepartureRow} key=${index} departure=${departure} index=${index} day=${day} ...${actions} />`)}
    </div>
    <button type="button" class="button button-quiet" onClick=${() => add(day)}>Add a trip<span class="unseen"> on ${name}</span></button>
  </fieldset>`;
}
