/** Appliances in words, and from what a form holds to what the service takes. */
import { formatPounds } from "./money.js";

/** @typedef {import("../api/appliance_types.d.ts").Appliance} Appliance */
/** @typedef {import("../api/appliance_types.d.ts").ApplianceAdviceItem} ApplianceAdviceItem */
/** @typedef {import("../api/appliance_types.d.ts").ApplianceKind} ApplianceKind */
/** @typedef {import("./form_values.js").FieldSpec} FieldSpec */

/** @type {Record<ApplianceKind, string>} */
export const KIND_WORDS = {
  dishwasher: "Dishwasher", washing_machine: "Washing machine", tumble_dryer: "Tumble dryer", immersion_heater: "Immersion heater", own: "Another appliance",
};

/** @type {Record<ApplianceKind, number>} what a form starts with; people correct it */
const USUAL_RUNS = { dishwasher: 5, washing_machine: 3, tumble_dryer: 2, immersion_heater: 7, own: 3 };

/** One row as the form holds it: texts all of them. @typedef {Record<keyof Appliance, string>} Row */

/**
 * @param {ApplianceKind} kind
 * @returns {Row}
 */
export function newRow(kind) {
  return { kind, label: "", runs_a_week: String(USUAL_RUNS[kind]), run_kwh: "", power_w: "", run_minutes: "", usual_start: "" };
}

/**
 * @param {Appliance} appliance
 * @returns {Row}
 */
export function rowOf(appliance) {
  return /** @type {Row} */ (Object.fromEntries(Object.entries(appliance).map(([name, value]) => [name, value === null ? "" : String(value)])));
}

/** @param {string} text */
const numberOrNull = (text) => (text.trim() === "" ? null : Number(text.trim().replace(",", ".")));

/**
 * @param {Row} row
 * @returns {Appliance}
 */
export function applianceOf(row) {
  return {
    kind: /** @type {ApplianceKind} */ (row.kind),
    label: row.label.trim(),
    runs_a_week: Number(row.runs_a_week),
    run_kwh: numberOrNull(row.run_kwh),
    power_w: numberOrNull(row.power_w),
    run_minutes: numberOrNull(row.run_minutes),
    usual_start: row.usual_start || null,
  };
}

/**
 * The fields of a row; what the book knows may be left out.
 * @param {string} kind
 * @returns {FieldSpec[]}
 */
export function rowFields(kind) {
  const isOwn = kind === "own";
  return [
    ...(isOwn ? [/** @type {FieldSpec} */ ({ name: "label", label: "Name", kind: "text", isRequired: true })] : []),
    { name: "runs_a_week", label: "Runs a week", kind: "number", isRequired: true, min: 1, max: 50, step: 1 },
    { name: "usual_start", label: "Usual start", kind: "time" },
    { name: "run_kwh", label: "Energy a run", kind: "decimal", unit: "kWh", isRequired: isOwn },
    { name: "power_w", label: "Power", kind: "number", unit: "W", isRequired: isOwn, min: 10, max: 7400, step: 1 },
    { name: "run_minutes", label: "Length of a run", kind: "number", unit: "min", isRequired: isOwn, min: 30, max: 720, step: 1 },
  ];
}

/**
 * What moving one adds in a year, as a headline of its card.
 * @param {ApplianceAdviceItem} item
 * @returns {string}
 */
export function moveSum(item) {
  if (item.move === "move") return `Saves ${formatPounds(item.yearly_saving_pence)} a year`;
  if (item.move === "stay") return "Leave it where it is";
  return item.move === "not_known" ? "Not known" : "Not suggested";
}
