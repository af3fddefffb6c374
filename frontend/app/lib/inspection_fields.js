/** What an electrician is asked about one outlet, step by step: words, units and ranges as the service checks them. */
import { CERTIFICATE_WORDS, DEVICE_WORDS, LOST_PEN_WORDS, RCD_TYPE_WORDS } from "./inspection_words.js";
import { EARTHING_WORDS, PLACE_WORDS, YES_NO_WORDS, choices } from "./wording.js";

/**
 * @typedef {import("./form_values.js").FieldSpec & {
 *   longest?: number,
 *   isAnswer?: boolean,
 *   isReading?: boolean,
 *   isAboveZero?: boolean,
 *   appliesTo?: "socket_13a",
 * }} InspectionField
 *   isAnswer: one of the recorded answers; isReading: a figure, or why there is none; longest: of a text
 */

/** @typedef {{ id: string, title: string, lead: string, fields: InspectionField[] }} InspectionStep */

export const OHM_MAX = 100_000;
export const MOHM_MAX = 1_000_000;
export const TIME_MAX_MS = 10_000;
export const LIMIT_MAX_A = 125;
const TEXT_MAX = 300;

const YES_NO = choices(YES_NO_WORDS);

/**
 * @param {string} name
 * @param {string} label
 * @param {string} [hint]
 * @param {Partial<InspectionField>} [more]
 * @returns {InspectionField}
 */
function yesNo(name, label, hint = "", more = {}) {
  return { name, label, kind: "select", options: YES_NO, hint, isAnswer: true, ...more };
}

/**
 * @param {string} name
 * @param {string} label
 * @param {string} unit
 * @param {number} max
 * @param {string} hint
 * @param {boolean} [isAboveZero]
 * @returns {InspectionField}
 */
function reading(name, label, unit, max, hint, isAboveZero = false) {
  return { name, label, kind: "decimal", unit, min: 0, max, hint, isReading: true, isAnswer: true, isAboveZero };
}

/** @type {InspectionField[]} */
const CERTIFICATE = [
  { name: "certificate_kind", label: "Kind of certificate", kind: "select", options: choices(CERTIFICATE_WORDS) },
  { name: "certificate_number", label: "Its number", kind: "text", isRequired: true, longest: 60 },
  { name: "inspected_on", label: "Date of the inspection", kind: "date", isRequired: true },
  { name: "next_due_on", label: "Next inspection due on", kind: "date", isRequired: true, hint: "As your certificate says; at most 10 years on." },
];

/** @type {InspectionField[]} */
const CIRCUIT = [
  yesNo("was_tested", "Were this outlet and its circuit inspected and tested themselves?", "Not by a sample of others.", { isAnswer: false }),
  { name: "limitation", label: "Limitations, if any", kind: "long", longest: 500, hint: "What could not be seen or tested. With a limitation the outlet stays not known." },
  yesNo("knew_use", "Did you know that a car charges here for hours on end?", "", { isAnswer: false }),
  { name: "device_kind", label: "Device at the head of the circuit", kind: "select", options: choices(DEVICE_WORDS), isAnswer: true },
  { name: "device_a", label: "Its rating", kind: "number", unit: "A", min: 1, max: 125, step: 1, isAnswer: true },
  yesNo("is_ring", "Is the outlet on a ring final circuit?"),
  { name: "earthing", label: "Earthing of the supply", kind: "select", options: choices(EARTHING_WORDS), hint: "TN-C-S is PME.", isAnswer: true },
  { name: "supply_phases", label: "Phases of the supply", kind: "select", options: [{ value: "1", label: "1" }, { value: "3", label: "3" }], isAnswer: true },
];

/** @type {InspectionField[]} */
const FOUND = [
  yesNo("ev_mark", 'Does the socket carry the mark "EV"?', "On its back; seen with the socket off.", { appliesTo: "socket_13a" }),
  yesNo("socket_removed", "Was the accessory taken off to look behind it?"),
  yesNo("terminals_tight", "Were all terminals found tight?"),
  yesNo("polarity", "Was polarity found right?"),
  yesNo("own_rcd", "Has this outlet an RCD of its own?", "One that protects no other outlet."),
  { name: "rcd_type", label: "Type of that RCD", kind: "select", options: choices(RCD_TYPE_WORDS), isAnswer: true },
  { name: "rcd_ma", label: "Its rated residual current", kind: "number", unit: "mA", min: 1, max: 1000, step: 1, isAnswer: true },
  { name: "car_place", label: "Where does the car stand while it charges?", kind: "select", options: choices(PLACE_WORDS), isAnswer: true },
  { name: "lost_pen", label: "On PME outdoors: what protects the car if the combined conductor is lost?", kind: "select", options: choices(LOST_PEN_WORDS), isAnswer: true },
];

/** @type {InspectionField[]} */
const READINGS = [
  reading("zs_ohm", "Earth fault loop impedance Zs", "ohm", OHM_MAX, "At the outlet."),
  { name: "zs_corrected", label: "How Zs is given", kind: "select", isAnswer: true, options: [
    { value: "cold", label: "As read, conductors cold" }, { value: "working_temperature", label: "Corrected to working temperature" }] },
  reading("ze_ohm", "External loop impedance Ze", "ohm", OHM_MAX, "On TT: the resistance of the earth electrode."),
  reading("r1r2_ohm", "R1 + R2", "ohm", OHM_MAX, "Of the circuit, to the outlet."),
  { name: "ring_ends_ohm", label: "On a ring: end to end r1, rn, r2", kind: "text", unit: "ohm", longest: TEXT_MAX, hint: "Such as 0.54, 0.55, 0.89.", isAnswer: true },
  reading("insulation_mohm", "Insulation resistance at 500 V d.c.", "Mohm", MOHM_MAX, "The lowest reading. Over the meter's range: the range's end."),
  reading("rcd_time_ms", "Trip time of the RCD at its rated current", "ms", TIME_MAX_MS, "Where it did not trip: the longest time waited.", true),
];

/** @type {InspectionField[]} */
const LIMITS = [
  { name: "limit_a", label: "No more than, for hours on end", kind: "number", unit: "A", min: 1, max: LIMIT_MAX_A, step: 1, hint: "Leave empty where you set no limit of your own." },
  { name: "limit_reason", label: "Why", kind: "long", longest: 500, hint: 'Needed with a limit, and for a socket without the mark "EV", with a shared RCD or on a ring.' },
];

/** The one extension lead that he allows, if any. @type {InspectionField[]} */
export const EXTENSION_FIELDS = [
  { name: "extension.identity", label: "Its mark or number", kind: "text", longest: 120 },
  { name: "extension.size_mm2", label: "Conductor size", kind: "decimal", unit: "mm²", min: 0, max: 16, isAboveZero: true },
  { name: "extension.length_m", label: "Length", kind: "decimal", unit: "m", min: 0, max: 1000, isAboveZero: true },
  { name: "extension.instructions_allow", label: "Do the charging lead's instructions allow an extension?", kind: "select", options: YES_NO, hint: "Unless they do, no extension lead may be used." },
];

/** The steps of one outlet, in the order walked. @type {InspectionStep[]} */
export const STEPS = [
  { id: "certificate", title: "Certificate", lead: "As it stands on the certificate or report that you issue.", fields: CERTIFICATE },
  { id: "circuit", title: "Outlet and circuit", lead: "Which outlet this is, and what feeds it.", fields: CIRCUIT },
  { id: "found", title: "What you found", lead: "What is not answered stays not known; that is an answer too.", fields: FOUND },
  { id: "readings", title: "Readings", lead: "A reading, or why there is none. A reading outside its limit is recorded and fails the item.", fields: READINGS },
  { id: "observations", title: "Observations", lead: "Coded findings and what they reach.", fields: [] },
  { id: "limits", title: "Limits on current", lead: "Whether the outlet may carry less than it is marked for.", fields: LIMITS },
  { id: "document", title: "Document", lead: "A photograph or file of the certificate. Without it the result does not count.", fields: [] },
];

/** Every field of one outlet. */
export const ALL_FIELDS = [...STEPS.flatMap(({ fields }) => fields), ...EXTENSION_FIELDS];

/**
 * The fields of a step that this kind of outlet has.
 * @param {InspectionStep} step
 * @param {string} kind
 * @returns {InspectionField[]}
 */
export function fieldsOf(step, kind) {
  return step.fields.filter(({ appliesTo }) => !appliesTo || appliesTo === kind);
}

/**
 * Where a field is entered.
 * @param {string} field as the form names it
 * @returns {string} a step's id
 */
export function stepOf(field) {
  if (field.startsWith("observations")) return "observations";
  if (field.startsWith("extension")) return "limits";
  if (field.startsWith("file_id")) return "document";
  return STEPS.find(({ fields }) => fields.some(({ name }) => name === field.replace(/\.(value|not_tested_because)$/, "")))?.id ?? STEPS[0].id;
}
