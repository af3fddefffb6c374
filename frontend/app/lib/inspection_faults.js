/** What the service would refuse of a visit's form, in the service's own words; the service stays the judge. */
import { ALL_FIELDS, stepOf } from "./inspection_fields.js";
import { isAsked, isTouched, outletForm } from "./inspection_form.js";
import { sentence } from "./problem.js";
import { addDays, formatDate } from "./time.js";

/** @typedef {import("./inspection_fields.js").InspectionField} InspectionField */
/** @typedef {import("./inspection_form.js").OutletForm} OutletForm */
/** @typedef {import("./inspection_form.js").VisitForm} VisitForm */
/** @typedef {{ field: string, text: string }} Fault */

const DECIMALS = 4;
const NOTE_MAX = 300;
const NAME_MAX = 120;
const REGISTRATION_MAX = 200;
const LONGEST_YEARS = 10;
const NUMBER = /^[+-]?(\d+(\.\d*)?|\.\d+)$/;

/**
 * What is wrong with one entry.
 * @param {InspectionField} field
 * @param {string} value
 * @returns {string} "" where nothing is
 */
export function faultOf(field, value) {
  const text = value.trim();
  if (text === "") return "";
  if (field.kind === "number" || field.kind === "decimal") return numberFault(field, text);
  if (field.longest && text.length > field.longest) return sentence(`must have at most ${field.longest} characters`);
  return "";
}

/** @param {InspectionField} field @param {string} text */
function numberFault(field, text) {
  if (field.kind === "number" && !/^-?\d+$/.test(text)) return sentence("must be a whole number");
  if (!NUMBER.test(text)) return sentence("must be a number");
  const unit = (field.unit ?? "").replace("²", "2");
  const value = Number(text);
  if (value < Number(field.min) || value > Number(field.max)) return sentence(`must lie between ${field.min} and ${field.max} ${unit}`.trimEnd());
  if (field.isAboveZero && value === 0) return sentence(`must be above 0 ${unit}`);
  if (field.isReading && (text.split(".")[1] ?? "").replace(/0+$/, "").length > DECIMALS) return sentence(`must have at most ${DECIMALS} decimals`);
  return "";
}

/** @param {OutletForm} form @param {string} today @returns {Fault[]} */
function certificateFaults(form, today) {
  const { certificate_number: number = "", inspected_on: inspected = "", next_due_on: due = "" } = form.values;
  /** @type {Fault[]} */
  const faults = [];
  const add = (/** @type {string} */ field, /** @type {string} */ rule) => faults.push({ field, text: sentence(rule) });
  if (number.trim() === "") add("certificate_number", "must not be empty");
  if (inspected === "") add("inspected_on", "must not be empty");
  else if (inspected > today) add("inspected_on", "must not be in the future");
  if (due === "") add("next_due_on", "must not be empty");
  else if (inspected !== "" && due <= inspected) add("next_due_on", "must be after the inspection");
  else if (inspected !== "" && due > yearsAfter(inspected, LONGEST_YEARS)) {
    add("next_due_on", `must be within ${LONGEST_YEARS} years of the inspection, the longest interval of a home`);
  }
  return faults;
}

/**
 * The same day some years on; of 29 February the last day of that month.
 * @param {string} on
 * @param {number} years
 * @returns {string}
 */
function yearsAfter(on, years) {
  const later = `${String(Number(on.slice(0, 4)) + years).padStart(4, "0")}${on.slice(4)}`;
  return later.endsWith("-02-29") && addDays(`${later.slice(0, 4)}-02-28`, 1).endsWith("-03-01") ? `${later.slice(0, 4)}-02-28` : later;
}

/** @param {OutletForm} form @param {string} today @returns {Fault[]} */
function observationFaults(form, today) {
  const inspected = form.values.inspected_on ?? "";
  return form.observations.flatMap(({ note, closed_on: closed }, place) => {
    /** @type {Fault[]} */
    const faults = [];
    const add = (/** @type {string} */ name, /** @type {string} */ rule) => faults.push({ field: `observations.${place}.${name}`, text: sentence(rule) });
    if (note.trim() === "") add("note", "must not be empty");
    if (note.length > NOTE_MAX) add("note", `must have at most ${NOTE_MAX} characters`);
    if (closed && closed > today) add("closed_on", "must not be in the future");
    if (closed && inspected && closed < inspected) add("closed_on", `must not be before the inspection on ${formatDate(inspected)}`);
    return faults;
  });
}

/** @param {OutletForm} form @returns {Fault[]} */
function extensionFaults(form) {
  const names = ["extension.identity", "extension.size_mm2", "extension.length_m"];
  if (names.every((name) => form.values[name] === undefined)) return [];
  // Without a limit and its reason, naming one allows nothing.
  return [...names, "limit_a", "limit_reason"].filter((name) => form.values[name] === undefined).map((field) => ({ field, text: sentence("is required with an extension lead") }));
}

/**
 * What is wrong with one outlet's form, beside the single entries' own faults also what only shows between them.
 * @param {OutletForm} form
 * @param {string} today YYYY-MM-DD
 * @returns {Fault[]}
 */
export function outletFaults(form, today) {
  const single = ALL_FIELDS.filter((field) => isAsked(form, field)).flatMap((field) => {
    const text = faultOf(field, form.values[field.name] ?? "");
    return text ? [{ field: field.name, text }] : [];
  });
  const reasons = Object.entries(form.untested).flatMap(([name, why]) => {
    const rule = why.trim() === "" ? "say why it was not tested" : why.length > NOTE_MAX ? `must have at most ${NOTE_MAX} characters` : "";
    return rule ? [{ field: `${name}.not_tested_because`, text: sentence(rule) }] : [];
  });
  const limit = form.values.limit_a !== undefined && (form.values.limit_reason ?? "").trim() === "" ? [{ field: "limit_reason", text: sentence("must not be empty") }] : [];
  return [...certificateFaults(form, today), ...single, ...reasons, ...observationFaults(form, today), ...extensionFaults(form), ...limit];
}

const LEFT_OUT = "must name each outlet of the visit; of one that was not tested, say so, with the limitation";

/**
 * What is wrong with the visit: about the electrician, and by outlet.
 * @param {VisitForm} form
 * @param {string[]} outletIds those that the visit is for
 * @param {string} today
 * @param {boolean} isPartial then outlets may be left out
 * @returns {{ self: Fault[], outlets: { id: string, faults: Fault[] }[], isEmpty: boolean }}
 */
export function visitFaults(form, outletIds, today, isPartial) {
  /** @type {Fault[]} */
  const self = [];
  const name = form.electrician_name.trim();
  if (name === "") self.push({ field: "electrician_name", text: sentence("must not be empty") });
  if (name.length > NAME_MAX) self.push({ field: "electrician_name", text: sentence(`must have at most ${NAME_MAX} characters`) });
  if (form.registration.trim().length > REGISTRATION_MAX) self.push({ field: "registration", text: sentence(`must have at most ${REGISTRATION_MAX} characters`) });
  const touched = outletIds.filter((id) => isTouched(outletForm(form, id)));
  const leftOut = [{ field: "was_tested", text: sentence(LEFT_OUT) }];
  const outlets = outletIds.map((id) => ({ id, faults: touched.includes(id) ? outletFaults(outletForm(form, id), today) : isPartial ? [] : leftOut }));
  return { self, outlets: outlets.filter(({ faults }) => faults.length > 0), isEmpty: touched.length === 0 };
}

/**
 * What the service refused, told by outlet: "outlets.1.answers.zs_ohm.value" is a fault of the second outlet's Zs.
 * @param {{ field: string, detail: string }[]} errors
 * @param {string[]} sentIds the outlets as they were sent
 * @returns {{ id: string, field: string, step: string, text: string }[]} id "" for faults of no outlet
 */
export function refusedByOutlet(errors, sentIds) {
  return errors.map(({ field, detail }) => {
    const [head, place, ...rest] = field.split(".");
    if (head !== "outlets" || place === undefined) return { id: "", field, step: "", text: detail };
    const name = rest.join(".").replace(/^answers\./, "");
    return { id: sentIds[Number(place)] ?? "", field: name, step: stepOf(name), text: detail };
  });
}
