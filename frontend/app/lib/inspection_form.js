/** The form of one visit as plain texts: how it starts, what of it is sent, and how far it has come. */
import { ALL_FIELDS, fieldsOf } from "./inspection_fields.js";
import { YES_NO_WORDS } from "./wording.js";

/** @typedef {import("./inspection_fields.js").InspectionField} InspectionField */
/** @typedef {{ code: string, note: string, reach: string, closed_on: string }} ObservationForm */

/**
 * @typedef {object} ChosenDocument a photograph or file, kept on the phone until it could be sent
 * @property {string} key under which the phone keeps it
 * @property {string} name
 * @property {number} size bytes
 * @property {string | null} id the service's, once it is there
 */

/**
 * @typedef {object} OutletForm
 * @property {Record<string, string>} values by field; a missing one has not been answered
 * @property {Record<string, string>} untested by reading: why there is none; present as soon as that was chosen
 * @property {ObservationForm[]} observations
 * @property {ChosenDocument | null} document
 */

/**
 * @typedef {object} VisitForm
 * @property {string} electrician_name
 * @property {string} registration
 * @property {Record<string, OutletForm>} outlets by id
 */

/** @type {VisitForm} */
export const EMPTY_VISIT = { electrician_name: "", registration: "", outlets: {} };

/** @type {OutletForm} */
export const EMPTY_OUTLET = { values: {}, untested: {}, observations: [], document: null };

/** @type {ObservationForm} */
export const NEW_OBSERVATION = { code: "C2", note: "", reach: "outlet", closed_on: "" };

/**
 * @param {VisitForm} form
 * @param {string} outletId
 * @returns {OutletForm}
 */
export function outletForm(form, outletId) {
  return form.outlets[outletId] ?? EMPTY_OUTLET;
}

/**
 * The visit with one outlet's form changed.
 * @param {VisitForm} form
 * @param {string} outletId
 * @param {(old: OutletForm) => OutletForm} change
 * @returns {VisitForm}
 */
export function withOutlet(form, outletId, change) {
  return { ...form, outlets: { ...form.outlets, [outletId]: change(outletForm(form, outletId)) } };
}

/**
 * Put one entry; an emptied one counts as not answered.
 * @param {OutletForm} form
 * @param {string} name
 * @param {string} value
 * @returns {OutletForm}
 */
export function withValue(form, name, value) {
  const values = { ...form.values, [name]: value };
  if (value === "") delete values[name];
  return { ...form, values };
}

/**
 * Say that a reading was not taken (why: perhaps still empty), or that it was after all (null).
 * @param {OutletForm} form
 * @param {string} name
 * @param {string | null} why
 * @returns {OutletForm}
 */
export function withUntested(form, name, why) {
  const untested = { ...form.untested };
  if (why === null) delete untested[name];
  else untested[name] = why;
  return { ...(why === null ? form : withValue(form, name, "")), untested };
}

/**
 * Has anything been entered for an outlet?
 * @param {OutletForm} form
 * @returns {boolean}
 */
export function isTouched(form) {
  return Object.keys(form.values).length > 0 || Object.keys(form.untested).length > 0 || form.observations.length > 0 || form.document !== null;
}

/**
 * Has this field an answer? "Not known" chosen by hand is one.
 * @param {OutletForm} form
 * @param {InspectionField} field
 * @returns {boolean}
 */
export function isAnswered(form, field) {
  return form.values[field.name] !== undefined || (form.untested[field.name] ?? "").trim() !== "";
}

/** Asked only where the answer before makes it a question. @type {Record<string, (values: Record<string, string>) => boolean>} */
const ONLY_WHERE = {
  ring_ends_ohm: (values) => values.is_ring === "yes",
  rcd_ma: (values) => values.rcd_type !== "none",
  rcd_time_ms: (values) => values.rcd_type !== "none",
  zs_corrected: (values) => values.zs_ohm !== undefined,
  lost_pen: (values) => !["tn_s", "tt"].includes(values.earthing) && values.car_place !== "indoors",
};

/** May be left empty without leaving anything open. */
const OPTIONAL = new Set(["limitation", "limit_a", "limit_reason"]);

/**
 * Is a field a question, after what has been answered so far?
 * @param {OutletForm} form
 * @param {InspectionField} field
 * @returns {boolean}
 */
export function isAsked(form, field) {
  return ONLY_WHERE[field.name]?.(form.values) ?? true;
}

/**
 * How far a step has come: what it asks, and how much of that is answered.
 * @param {import("./inspection_fields.js").InspectionStep} step
 * @param {OutletForm} form
 * @param {string} kind of outlet
 * @returns {{ asked: number, answered: number, open: InspectionField[] }}
 */
export function progressOf(step, form, kind) {
  if (step.id === "document") {
    const answered = form.document ? 1 : 0;
    return { asked: 1, answered, open: [] };
  }
  const asked = fieldsOf(step, kind).filter((field) => isAsked(form, field) && !OPTIONAL.has(field.name));
  const open = asked.filter((field) => !isAnswered(form, field));
  return { asked: asked.length, answered: asked.length - open.length, open };
}

/**
 * @param {InspectionField} field
 * @param {OutletForm} form
 * @returns {unknown} undefined where nothing was answered
 */
function answerOf(field, form) {
  const text = form.values[field.name]?.trim();
  if (field.isReading) {
    const because = (form.untested[field.name] ?? "").trim();
    if (text === undefined && because === "") return undefined;
    return { value: text ?? null, not_tested_because: text === undefined ? because : "" };
  }
  if (text === undefined) return undefined;
  return field.kind === "number" || field.name === "supply_phases" ? wholeOrText(text) : text;
}

/**
 * A whole number as the service takes it; anything else goes as it is, so that the service says what is wrong with it.
 * @param {string} text
 * @returns {number | string}
 */
function wholeOrText(text) {
  return /^-?\d+$/.test(text) ? Number(text) : text;
}

/** @param {OutletForm} form */
function extensionOf(form) {
  const { "extension.identity": identity, "extension.size_mm2": size, "extension.length_m": length, "extension.instructions_allow": allow } = form.values;
  if (identity === undefined && size === undefined && length === undefined) return null;
  return { identity: identity ?? "", size_mm2: size ?? null, length_m: length ?? null, instructions_allow: allow ?? "not_known" };
}

/**
 * The recorded answers, those left open left out.
 * @param {OutletForm} form
 * @returns {Record<string, unknown>}
 */
function answersOf(form) {
  const asked = ALL_FIELDS.filter((field) => field.isAnswer && isAsked(form, field));
  const given = asked.map((field) => [field.name, answerOf(field, form)]).filter(([, value]) => value !== undefined);
  const extension = extensionOf(form);
  return Object.fromEntries(extension ? [...given, ["extension", extension]] : given);
}

/**
 * What is sent for one outlet.
 * @param {string} outletId
 * @param {OutletForm} form
 * @param {boolean} isPartial the certificate now, the readings later
 * @returns {import("../api/visit_types.d.ts").OutletResult}
 */
export function outletResult(outletId, form, isPartial) {
  const text = (/** @type {string} */ name, otherwise = "") => (form.values[name] ?? otherwise).trim();
  return {
    outlet_id: outletId,
    certificate_kind: text("certificate_kind", "not_known"),
    certificate_number: text("certificate_number"),
    inspected_on: text("inspected_on"),
    next_due_on: text("next_due_on"),
    file_id: form.document?.id ?? null,
    was_tested: text("was_tested", "not_known"),
    limitation: text("limitation"),
    knew_use: text("knew_use", "not_known"),
    answers: isPartial ? {} : answersOf(form),
    limit_a: text("limit_a") === "" ? null : /** @type {number} */ (wholeOrText(text("limit_a"))),
    limit_reason: text("limit_reason"),
    observations: form.observations.map(({ code, note, reach, closed_on }) => ({ code, note: note.trim(), reach, closed_on: closed_on || null })),
  };
}

/**
 * One outlet with the certificate and document of another: often one certificate is for several.
 * @param {OutletForm} form
 * @param {OutletForm} other
 * @returns {OutletForm}
 */
export function withCertificateOf(form, other) {
  const names = ["certificate_kind", "certificate_number", "inspected_on", "next_due_on"];
  const values = Object.fromEntries(names.filter((name) => other.values[name] !== undefined).map((name) => [name, other.values[name]]));
  return { ...form, values: { ...form.values, ...values }, document: form.document ?? other.document };
}

/**
 * What is sent for the visit: every outlet about which something was entered, in the home's order.
 * @param {VisitForm} form
 * @param {string[]} outletIds
 * @param {boolean} isPartial
 * @returns {import("../api/visit_types.d.ts").VisitResult}
 */
export function visitResult(form, outletIds, isPartial) {
  const touched = outletIds.filter((id) => isTouched(outletForm(form, id)));
  return {
    outlets: touched.map((id) => outletResult(id, outletForm(form, id), isPartial)),
    is_partial: isPartial,
    electrician_name: form.electrician_name.trim(),
    registration: form.registration.trim(),
  };
}

/**
 * An answer in words, for reading it over.
 * @param {InspectionField} field
 * @param {OutletForm} form
 * @returns {string}
 */
export function answerWords(field, form) {
  const value = form.values[field.name];
  const because = form.untested[field.name];
  if (value === undefined) return because?.trim() ? `not tested: ${because.trim()}` : "not answered: stays not known";
  const word = field.options?.find((option) => option.value === value)?.label ?? YES_NO_WORDS[value] ?? value;
  return field.options ? word : [value, field.unit].filter(Boolean).join(" ");
}
