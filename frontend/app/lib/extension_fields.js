/** What is asked of an extension lead in use; what is left open is not known. */

/** @typedef {import("./form_values.js").FieldSpec} FieldSpec */

export const UNKNOWN = { value: "not_known", label: "I do not know" };
const YES_NO = [{ value: "yes", label: "Yes" }, { value: "no", label: "No" }, UNKNOWN];
const PLACES = [{ value: "indoors", label: "Indoors" }, { value: "outdoors", label: "Outdoors" }, UNKNOWN];

/** @type {FieldSpec[]} */
export const EXTENSION_CHOICES = [
  { name: "is_coiled", label: "Is any of it coiled or wound up?", kind: "select", options: YES_NO },
  { name: "is_chained", label: "Is it plugged into another extension lead?", kind: "select", options: YES_NO },
  { name: "has_several_sockets", label: "Has it more than one socket?", kind: "select", options: YES_NO },
  { name: "place", label: "Where does it lie?", kind: "select", options: PLACES, hint: "Outdoors, if any of it does." },
  { name: "is_outdoor_rated", label: "Is it made for outdoors?", kind: "select", options: YES_NO, hint: "Its packing or plug says so, often as IP44 or more." },
];

/** @type {FieldSpec[]} */
export const EXTENSION_ENTRIES = [
  { name: "label", label: "What do you call it?", kind: "text", hint: "Such as orange reel." },
  { name: "mark", label: "Number or mark on it", kind: "text", hint: "By it an electrician can name this very one. Empty: it has none." },
  { name: "size_mm2", label: "Size of its conductors", kind: "number", unit: "mm²", min: 0.5, max: 4, step: 0.01, hint: "Printed along the cable, such as 3G1.5: that is 1.5. Empty: not known." },
  { name: "length_m", label: "Length", kind: "number", unit: "m", min: 0, max: 1000, step: 0.1, hint: "Empty: not known." },
  { name: "reel_unwound_w", label: "On a reel: power allowed fully unwound", kind: "number", unit: "W", min: 1, max: 4000, step: 1, hint: "On its label. Empty: no reel." },
];

/** Nothing known of it. */
export const EXTENSION_START = {
  outlet_id: "", label: "", mark: "", size_mm2: "", length_m: "", reel_unwound_w: "", is_coiled: UNKNOWN.value, is_chained: UNKNOWN.value,
  has_several_sockets: UNKNOWN.value, place: UNKNOWN.value, is_outdoor_rated: UNKNOWN.value,
};

/**
 * What a form starts with: of a use that is recorded already, else nothing known.
 * @param {import("../api/extension_types.d.ts").ExtensionEntry | null} of
 * @returns {Record<string, string>}
 */
export function extensionStart(of) {
  if (!of) return { ...EXTENSION_START };
  const record = /** @type {Record<string, unknown>} */ (/** @type {unknown} */ (of));
  return Object.fromEntries(Object.keys(EXTENSION_START).map((name) => [name, String(record[name] ?? "")]));
}

/**
 * The body to send.
 * @param {Record<string, string>} values
 * @returns {import("../api/extension_types.d.ts").ExtensionEntry}
 */
export function extensionEntry(values) {
  const numbers = ["size_mm2", "length_m", "reel_unwound_w"];
  const sent = Object.entries(values).map(([name, value]) => [name, numbers.includes(name) ? (value.trim() === "" ? null : Number(value)) : value.trim()]);
  const entry = Object.fromEntries(sent);
  return { ...entry, label: entry.label || "Extension lead" };
}
