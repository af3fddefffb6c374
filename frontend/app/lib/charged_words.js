/** Charging records in words, and from a form to a record: all on the home's clock. */
import { formatPounds } from "./money.js";
import { formatEnergy } from "./quantity.js";
import { addDays, formatInstant, formatTime, instantText, localDay, localTime } from "./time.js";

/** @typedef {import("../api/charging_types.d.ts").ChargingEntry} ChargingEntry */
/** @typedef {import("../api/charging_types.d.ts").ChargingPlace} ChargingPlace */
/** @typedef {import("../api/charging_types.d.ts").ChargingRecord} ChargingRecord */
/** @typedef {import("../api/charging_types.d.ts").ChargedDay} ChargedDay */
/** @typedef {import("../api/charging_types.d.ts").ChargedTotals} ChargedTotals */
/** @typedef {import("./form_values.js").FieldSpec} FieldSpec */
/** @typedef {import("./form_values.js").FormValues} FormValues */
/** @typedef {{ id: string, label: string }} Named */

/** @type {Record<ChargingPlace, string>} */
export const PLACE_WORDS = { home: "At home", public: "At a public point", work: "At work" };
/** @type {Record<ChargingRecord["source"], string>} */
const SOURCE_WORDS = { typed: "entered by hand", csv: "from a table", ocpi: "from the charging point" };

/** Where the service names a field otherwise than the form does. */
export const FAULT_FIELDS = { starts_at: "start", ends_at: "end", outlet_id: "place", paid_pence: "paid" };

/**
 * The fields of one charge; the car only where there are several.
 * @param {Named[]} cars
 * @param {boolean} isHome where it was: what was paid is only asked elsewhere
 * @returns {FieldSpec[]}
 */
export function chargeFields(cars, isHome) {
  /** @type {FieldSpec[]} */
  const fields = [
    { name: "on", label: "Day it began", kind: "date", isRequired: true },
    { name: "start", label: "From", kind: "time", isRequired: true },
    { name: "end", label: "Until", kind: "time", isRequired: true, hint: "An earlier time than from is on the next day." },
    { name: "energy_kwh", label: "Energy", kind: "decimal", unit: "kWh", isRequired: true },
  ];
  if (cars.length > 1) fields.unshift({ name: "vehicle_id", label: "Car", kind: "select", options: cars.map(({ id, label }) => ({ value: id, label })) });
  if (!isHome) fields.push({ name: "paid", label: "Paid", kind: "decimal", unit: "£", hint: "VAT included. Leave it empty if you do not know." });
  fields.push({ name: "is_metered", label: "Read from a meter that feeds nothing but cars", kind: "tick" });
  return fields;
}

/**
 * What the form starts with: a charge of last night, or a record to be changed.
 * @param {Named[]} cars
 * @param {string} today
 * @param {string} zone
 * @param {ChargingRecord | null} record
 * @returns {FormValues}
 */
export function chargeStart(cars, today, zone, record = null) {
  const first = cars[0]?.id ?? "";
  if (!record) return { vehicle_id: first, on: addDays(today, -1), start: "", end: "", energy_kwh: "", paid: "", is_metered: false };
  return {
    vehicle_id: record.vehicle_id,
    on: localDay(record.starts_at, zone),
    start: localTime(record.starts_at, zone),
    end: localTime(record.ends_at, zone),
    energy_kwh: String(record.energy_kwh),
    paid: record.paid_pence === null ? "" : (record.paid_pence / 100).toFixed(2),
    is_metered: record.is_metered,
  };
}

/**
 * A form as the service takes it. An end at or before the start is on the next day.
 * @param {FormValues} values
 * @param {ChargingPlace} place
 * @param {Named[]} cars
 * @param {string} zone
 * @returns {ChargingEntry}
 */
export function chargeOf(values, place, cars, zone) {
  const [on, start, end] = [String(values.on), String(values.start), String(values.end)];
  const paid = String(values.paid ?? "").trim().replace(",", ".");
  return {
    vehicle_id: cars.length > 1 ? String(values.vehicle_id) : cars[0]?.id ?? "",
    place,
    starts_at: instantText(on, start, zone),
    ends_at: instantText(end > start ? on : addDays(on, 1), end, zone),
    energy_kwh: Number(String(values.energy_kwh).trim().replace(",", ".")),
    outlet_id: null,
    is_metered: values.is_metered === true,
    paid_pence: place === "home" || paid === "" ? null : Math.round(Number(paid) * 100),
    note: "",
  };
}

/**
 * "Tue 24 Nov, 00:30 to 04:30".
 * @param {ChargingRecord} record
 * @param {string} zone
 * @returns {string}
 */
export function recordTimes(record, zone) {
  return `${formatInstant(record.starts_at, zone)} to ${formatTime(record.ends_at, zone)}`;
}

/**
 * What else is known of a record, in one line.
 * @param {ChargingRecord} record
 * @param {Named[]} cars
 * @returns {string}
 */
export function recordWords(record, cars) {
  const car = cars.length > 1 ? cars.find(({ id }) => id === record.vehicle_id)?.label : "";
  const paid = record.place === "home" ? "" : record.paid_pence === null ? "what was paid is not known" : `${formatPounds(String(record.paid_pence))} paid`;
  return [PLACE_WORDS[record.place], car, paid, record.is_metered ? "metered" : "not metered", SOURCE_WORDS[record.source]].filter(Boolean).join(" · ");
}

/**
 * The headline over what was charged.
 * @param {ChargedTotals} totals
 * @returns {string}
 */
export function headline(totals) {
  if (totals.home_kwh === 0 && totals.elsewhere_kwh === 0) {
    return totals.estimate_kwh > 0 ? `Nothing is recorded; by the miles driven about ${formatEnergy(totals.estimate_kwh)} (an estimate)` : "Nothing is recorded for these days";
  }
  const cost = totals.unpriced_kwh > 0 && Number(totals.cost_pence) === 0 ? "at a price that is not known" : `for ${formatPounds(totals.cost_pence)}`;
  return totals.home_kwh > 0 ? `${formatEnergy(totals.home_kwh)} at home ${cost}` : `${formatEnergy(totals.elsewhere_kwh)} elsewhere, nothing at home`;
}

/**
 * Names and values of the totals, those that say something.
 * @param {ChargedTotals} totals
 * @returns {[string, string][]}
 */
export function totalRows(totals) {
  /** @type {[string, string][]} */
  const rows = [];
  if (totals.home_kwh > 0) {
    rows.push(["Outside the cheap hours", formatEnergy(totals.outside_cheap_kwh)]);
    rows.push(["More than it had to cost", totals.uncompared_kwh === totals.home_kwh ? "not known" : formatPounds(totals.dearer_pence)]);
  }
  if (totals.unpriced_kwh > 0) rows.push(["Without a known price", formatEnergy(totals.unpriced_kwh)]);
  if (totals.planned_days > 0) {
    rows.push([`Planned, on ${totals.planned_days} ${totals.planned_days === 1 ? "day" : "days"} with a plan kept`, formatEnergy(totals.planned_kwh)]);
    rows.push(["Charged at home on these days", formatEnergy(totals.home_on_planned_days_kwh)]);
  }
  if (totals.elsewhere_kwh > 0) rows.push(["Elsewhere", `${formatEnergy(totals.elsewhere_kwh)}, ${formatPounds(String(totals.paid_pence))} paid${totals.unpaid_count > 0 ? `, ${totals.unpaid_count} not known` : ""}`]);
  if (totals.estimate_kwh > 0) rows.push(["Estimate, by miles, in no sum above", formatEnergy(totals.estimate_kwh)]);
  return rows;
}

/**
 * The longest bar of some days, so that all share one scale; at least 1.
 * @param {ChargedDay[]} days
 * @returns {number}
 */
export function greatestKwh(days) {
  return Math.max(1, ...days.flatMap((day) => [day.home_kwh, day.planned_kwh ?? 0, day.estimate_kwh, day.elsewhere_kwh]));
}
