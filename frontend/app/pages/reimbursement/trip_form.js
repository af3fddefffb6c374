/** The entries of one business trip. */

/** @typedef {import("../../lib/form_values.js").FieldSpec} FieldSpec */
/** @typedef {import("../../api/claim_types.d.ts").TripEntry} TripEntry */

/**
 * @param {{ id: string, label: string }[]} cars
 * @param {string} today YYYY-MM-DD
 * @returns {FieldSpec[]}
 */
export function tripFields(cars, today) {
  /** @type {FieldSpec[]} */
  const fields = [
    { name: "on_date", label: "Date", kind: "date", isRequired: true, max: today },
    { name: "miles", label: "Miles", kind: "decimal", isRequired: true, unit: "miles" },
    { name: "origin", label: "From", kind: "text", isRequired: true, autocomplete: "on" },
    { name: "destination", label: "To", kind: "text", isRequired: true, autocomplete: "on" },
    { name: "reason", label: "Reason", kind: "text", isRequired: true, autocomplete: "on" },
  ];
  if (cars.length > 1) fields.push({ name: "vehicle_id", label: "Car", kind: "select", options: cars.map(({ id, label }) => ({ value: id, label })) });
  return fields;
}

/**
 * What the form's values say, for the service; one car needs no choice.
 * @param {import("../../lib/form_values.js").FormValues} values
 * @param {{ id: string }[]} cars
 * @returns {TripEntry}
 */
export function tripEntry(values, cars) {
  const text = (/** @type {string} */ name) => String(values[name] ?? "").trim();
  return {
    vehicle_id: text("vehicle_id") || cars[0].id, on_date: text("on_date"), origin: text("origin"),
    destination: text("destination"), reason: text("reason"), miles: text("miles"),
  };
}

/**
 * The values a form starts with: a trip's own, or none but the day and the car.
 * @param {TripEntry | null} trip
 * @param {string} on
 * @param {{ id: string }[]} cars
 * @returns {import("../../lib/form_values.js").FormValues}
 */
export function tripStart(trip, on, cars) {
  return {
    on_date: on, miles: trip ? String(Number(trip.miles)) : "", origin: trip?.origin ?? "", destination: trip?.destination ?? "",
    reason: trip?.reason ?? "", vehicle_id: trip?.vehicle_id ?? cars[0]?.id ?? "",
  };
}
