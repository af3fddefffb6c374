/** What the home survey asks, step by step, and how its entries become answers; "I do not know" is one everywhere. */
import { CABLE_WORDS, DEVICE_WORDS, INSTALLED_WORDS, RCD_WORDS, choices } from "./wording.js";

/** @typedef {import("./form_values.js").FieldSpec} FieldSpec */
/** @typedef {Record<string, any>} Values */

/**
 * @typedef {object} Question
 * @property {"choice" | "number" | "text" | "date" | "loads" | "runs" | "photos" | "consent"} kind
 * @property {string} name equal to the answer's
 * @property {string} label
 * @property {string} [hint]
 * @property {{ value: string, label: string }[]} [options]
 * @property {string} [unit]
 * @property {number} [min]
 * @property {number} [max]
 * @property {number} [step]
 * @property {string} [unknownLabel] instead of "I do not know"
 * @property {(values: Values) => boolean} [when] asked only then
 */

/**
 * @typedef {object} StepWords
 * @property {string} title
 * @property {string} lead
 * @property {import("./caution_words.js").CautionName[]} cautions
 * @property {Question[]} questions
 */

export const UNKNOWN = { value: "not_known", label: "I do not know" };
const YES_NO = [{ value: "yes", label: "Yes" }, { value: "no", label: "No" }, UNKNOWN];
const PLACES = [{ value: "indoors", label: "Indoors" }, { value: "outdoors", label: "Outdoors" }, UNKNOWN];
const PHOTOS = { kind: /** @type {const} */ ("photos"), name: "photo_ids", label: "Photos", hint: "They help the electrician. Photograph only what can be seen without opening anything." };

/** Loads that a member can name; lighting and socket circuits are the electrician's to tell. */
export const ASKED_LOADS = ["cooker", "shower", "immersion", "storage_heating", "room_heating", "heat_pump", "other"];

const isSocket = (/** @type {Values} */ values) => values.kind === "socket_13a";
const isPoint = (/** @type {Values} */ values) => values.kind === "charging_point";
const isLead = (/** @type {Values} */ values) => values.kind !== "none";

/** @type {Record<import("../api/survey_types.d.ts").SurveyStepName, StepWords>} */
export const STEPS = {
  home: {
    title: "Your home",
    lead: "Who owns it decides how often the wiring has to be looked at.",
    cautions: [],
    questions: [
      { kind: "choice", name: "tenure", label: "Who owns the home?", options: [{ value: "owner", label: "We do" }, { value: "private_rented", label: "A private landlord" },
        { value: "social_rented", label: "A council or housing association" }, UNKNOWN] },
      { kind: "date", name: "moved_in_on", label: "When did you move in?", hint: "About the right day will do." },
    ],
  },
  supply: {
    title: "The supply",
    lead: "The cut-out is the sealed box where the cable comes in, by the meter.",
    cautions: ["do_not_open"],
    questions: [
      { kind: "number", name: "fuse_a", label: "Which rating is printed on the cut-out?", unit: "A", min: 5, max: 200, step: 1, hint: "Often 60, 80 or 100. It is on the outside of the sealed box." },
      { kind: "choice", name: "phases", label: "How many phases?", hint: "One fuse at the cut-out means one; three fuses mean three.", options: [{ value: "1", label: "One" }, { value: "3", label: "Three" }, UNKNOWN] },
      { kind: "choice", name: "earthing", label: "How is it earthed?", hint: "A label by the meter may say so. PME is TN-C-S.",
        options: [{ value: "tn_c_s", label: "TN-C-S (PME)" }, { value: "tn_s", label: "TN-S" }, { value: "tt", label: "TT (own rod)" }, UNKNOWN] },
      { kind: "choice", name: "looped", label: "Does the supply cable go on to a neighbour?", hint: "A looped supply has two thick cables at the cut-out.", options: YES_NO },
      { kind: "loads", name: "loads", label: "What else takes a lot?", hint: "The power stands on the plate of each, in kW or W." },
      PHOTOS,
    ],
  },
  outlet: {
    title: "Where the car is plugged in",
    lead: "Look, but do not unscrew or pull anything out of the wall.",
    cautions: ["do_not_open"],
    questions: [
      { kind: "choice", name: "kind", label: "What is it?", options: [{ value: "socket_13a", label: "A 13 A socket" }, { value: "charging_point", label: "A charging point" }, UNKNOWN] },
      { kind: "text", name: "label", label: "What do you call it?", hint: "Such as garage socket." },
      { kind: "number", name: "rated_a", label: "What current may it give?", unit: "A", min: 6, max: 80, step: 1, hint: "On its plate. 7 kW is 32 A, 3.6 kW is 16 A.", when: isPoint },
      { kind: "choice", name: "is_tethered", label: "Has it a cable of its own?", options: YES_NO, when: isPoint },
      { kind: "choice", name: "place", label: "Where is it?", options: PLACES },
      { kind: "choice", name: "car_place", label: "Where does the car stand while it charges?", options: PLACES },
      { kind: "text", name: "ip_code", label: "Which IP code is marked on it?", hint: "Such as IP44 or IP65.", when: (values) => values.place !== "indoors" },
      { kind: "choice", name: "ev_mark", label: "Is it known to be marked EV?", hint: "The mark is on the rear: only a certificate or the box it came in can tell you.", options: YES_NO, when: isSocket },
      { kind: "choice", name: "in_sun", label: "Does the sun or a heater reach it?", options: YES_NO },
      { kind: "number", name: "nights_a_week", label: "On how many nights a week is it used?", unit: "nights", min: 0, max: 7, step: 1 },
      { kind: "text", name: "maker_model", label: "Maker and model, as marked" },
      { kind: "date", name: "since_on", label: "Since when has it been there?" },
      PHOTOS,
    ],
  },
  circuit: {
    title: "The way to it",
    lead: "From the meter to the outlet, piece by piece. Most people know little of it: that is what the electrician is for.",
    cautions: ["do_not_open", "tables"],
    questions: [{ kind: "runs", name: "runs", label: "The runs, in order from the meter" }, PHOTOS],
  },
  lead: {
    title: "The lead",
    lead: "What the car is plugged in with. Its plate is on the control box or the plug.",
    cautions: ["extension"],
    questions: [
      { kind: "choice", name: "kind", label: "Which lead is it?", options: [{ value: "mode_2", label: "A lead with a control box and a plug" }, { value: "mode_3_cable", label: "A loose cable for a charging point" },
        { value: "none", label: "None: the point has its own cable" }, UNKNOWN] },
      { kind: "text", name: "label", label: "What do you call it?", when: isLead },
      { kind: "number", name: "rated_a", label: "What is it rated for?", unit: "A", min: 6, max: 80, step: 1, when: isLead },
      { kind: "number", name: "set_a", label: "What is it set to now?", unit: "A", min: 6, max: 80, step: 1, hint: "If it cannot be set, the same as its rating.", when: isLead },
      { kind: "text", name: "settings_a", label: "What can it be set to?", hint: "Such as 6, 8, 10. Leave it empty where it cannot be set.", unknownLabel: "Nothing else, or I do not know", when: isLead },
      { kind: "choice", name: "has_plug_sensor", label: "Does its plug sense its own temperature?", hint: "Its instructions or plate say so.", options: YES_NO, when: (values) => values.kind !== "none" && values.kind !== "mode_3_cable" },
      { kind: "number", name: "length_m", label: "How long is it?", unit: "m", min: 0, max: 100, step: 0.1, when: isLead },
      { kind: "choice", name: "uses_extension", label: "Do you use an extension lead with it?", hint: "Between the socket and this lead. With a yes, charging there stops at once.", options: YES_NO, when: (values) => values.kind !== "none" && values.kind !== "mode_3_cable" },
      { kind: "text", name: "maker_model", label: "Maker and model, as marked", when: isLead },
      { kind: "text", name: "serial_or_batch", label: "Serial or batch number", when: isLead },
      { kind: "date", name: "since_on", label: "Since when have you had it?", when: isLead },
      PHOTOS,
    ],
  },
  consents: {
    title: "Who has to agree",
    lead: "Charging at home may need somebody's consent. What you enter is what you were told.",
    cautions: ["consent"],
    questions: [
      { kind: "consent", name: "landlord", label: "Your landlord", hint: "Not needed where you own the home." },
      { kind: "consent", name: "freeholder", label: "The freeholder", hint: "Where the home is on a lease." },
      { kind: "consent", name: "insurer", label: "Your home insurer" },
    ],
  },
};

/** What is known of one run. @type {(FieldSpec & { isWholeNumber?: boolean })[]} */
export const RUN_FIELDS = [
  { name: "device_kind", label: "What protects it", kind: "select", options: choices(DEVICE_WORDS) },
  { name: "device_a", label: "Rated for", kind: "number", unit: "A", min: 1, max: 200, step: 1, hint: "Empty: not known." },
  { name: "rcd_type", label: "RCD", kind: "select", options: choices(RCD_WORDS) },
  { name: "cable_kind", label: "Cable", kind: "select", options: choices(CABLE_WORDS) },
  { name: "cable_mm2", label: "Size", kind: "number", unit: "mm²", min: 0.5, max: 50, step: 0.25, hint: "Empty: not known." },
  { name: "installed", label: "How it runs", kind: "select", options: [{ value: "", label: INSTALLED_WORDS[""] }, ...choices(INSTALLED_WORDS).filter(({ value }) => value !== "")] },
  { name: "length_m", label: "Length", kind: "number", unit: "m", min: 0, max: 1000, step: 0.1, hint: "Empty: not known." },
];

/** What surrounds a run: for those who have measured. @type {FieldSpec[]} */
export const SURROUNDING_FIELDS = [
  { name: "rcd_ma", label: "RCD trips at", kind: "number", unit: "mA", min: 1, max: 1000, step: 1 },
  { name: "ambient_c", label: "Warmest surroundings", kind: "number", unit: "°C", min: 25, max: 60, step: 1 },
  { name: "grouped_circuits", label: "Circuits together, this one counted", kind: "number", min: 1, max: 9, step: 1 },
  { name: "insulation_mm", label: "Length in insulation", kind: "number", unit: "mm", min: 0, step: 1 },
];

/** A run of which only the kind is known. */
export const NEW_RUN = {
  device: "", cable: "", method: "", length_m: null, device_kind: "not_known", device_a: null, rcd_type: "not_known", rcd_ma: null, cable_kind: "not_known",
  cable_mm2: null, installed: "", ambient_c: null, grouped_circuits: null, insulation_mm: null,
};

/** @param {unknown} value @returns {string} */
function asText(value) {
  if (value === true) return "yes";
  if (value === false) return "no";
  if (value === null || value === undefined) return "";
  return Array.isArray(value) ? value.join(", ") : String(value);
}

/**
 * The entries a step starts with.
 * @param {Question[]} questions
 * @param {Record<string, any>} answers
 * @returns {Values}
 */
export function entriesOf(questions, answers) {
  return Object.fromEntries(questions.map(({ kind, name }) => {
    const value = answers[name];
    if (kind === "choice") return [name, asText(value) || UNKNOWN.value];
    if (kind === "loads") return [name, loadEntries(value ?? [])];
    if (kind === "consent") return [name, value ?? { answer: UNKNOWN.value, given_on: null, file_id: null }];
    if (kind === "runs" || kind === "photos") return [name, value ?? []];
    return [name, asText(value)];
  }));
}

/**
 * One load's entry: is there one, and how much it takes.
 * @param {import("../api/survey_types.d.ts").LargeLoad[]} loads
 * @returns {Record<string, { has: string, kw: string }>}
 */
function loadEntries(loads) {
  return Object.fromEntries(ASKED_LOADS.map((kind) => {
    const own = loads.filter((load) => load.kind === kind);
    const power = own.length > 0 && own.every(({ power_w }) => power_w !== null) ? own.reduce((sum, { power_w }) => sum + Number(power_w), 0) : null;
    if (power === null) return [kind, { has: UNKNOWN.value, kw: "" }];
    return [kind, power === 0 ? { has: "no", kw: "" } : { has: "yes", kw: String(power / 1000) }];
  }));
}

/**
 * @param {Record<string, { has: string, kw: string }>} entries
 * @param {import("../api/survey_types.d.ts").LargeLoad[]} before what is not asked of a member stays as it is
 * @returns {import("../api/survey_types.d.ts").LargeLoad[]}
 */
function loadAnswers(entries, before) {
  const asked = ASKED_LOADS.map((kind) => {
    const { has, kw } = entries[kind] ?? { has: UNKNOWN.value, kw: "" };
    if (has === "no") return { kind, power_w: 0 };
    return { kind, power_w: has === "yes" && kw.trim() !== "" ? Math.round(Number(kw) * 1000) : null };
  });
  return [...asked, ...before.filter(({ kind }) => !ASKED_LOADS.includes(kind))];
}

const YES_NO_FLAGS = ["is_tethered"];
const NUMBER_CHOICES = ["phases"];

/** @param {string} text @returns {number[]} */
function numbersIn(text) {
  return text.split(/[\s,;]+/).filter(Boolean).map(Number);
}

/** @param {string} name @param {string} value */
function choiceAnswer(name, value) {
  if (YES_NO_FLAGS.includes(name)) return value === UNKNOWN.value ? null : value === "yes";
  if (NUMBER_CHOICES.includes(name)) return value === UNKNOWN.value ? null : Number(value);
  return value;
}

/**
 * The answers to send; what is not asked in this case is not known.
 * @param {Question[]} questions
 * @param {Values} values
 * @param {Record<string, any>} before
 * @returns {Record<string, unknown>}
 */
export function answersOf(questions, values, before) {
  return Object.fromEntries(questions.filter(({ when }) => !when || when(values)).map(({ kind, name }) => {
    const value = values[name];
    if (kind === "choice") return [name, choiceAnswer(name, value)];
    if (kind === "number") return [name, value.trim() === "" ? null : Number(value)];
    if (kind === "date") return [name, value || null];
    if (kind === "loads") return [name, loadAnswers(value, before[name] ?? [])];
    if (kind === "runs") return [name, value.map(runAnswer)];
    if (name === "settings_a") return [name, numbersIn(value)];
    if (name === "ip_code") return [name, value.trim().toUpperCase().replaceAll(" ", "")];
    return [name, typeof value === "string" ? value.trim() : value];
  }));
}

/**
 * A run as the service takes it: without its place, which its order tells.
 * @param {Record<string, any>} run
 * @returns {Record<string, any>}
 */
export function runAnswer(run) {
  return Object.fromEntries(Object.entries(run).filter(([name]) => name !== "position"));
}

/**
 * Where to go on: the first step that nobody saved, or the end.
 * @param {import("../api/survey_types.d.ts").SurveyStep[]} steps
 * @returns {number}
 */
export function firstOpen(steps) {
  const place = steps.findIndex((step) => !step.is_complete);
  return place < 0 ? steps.length : place;
}

/**
 * The place after a step that was saved; saving may have added the steps of a new outlet.
 * @param {import("../api/survey_types.d.ts").SurveyStep[]} steps as they stand after it
 * @param {{ step: string, item_id: string | null }} saved
 * @returns {number}
 */
export function placeAfter(steps, saved) {
  const place = steps.findIndex(({ step, item_id }) => step === saved.step && (saved.item_id === null || item_id === saved.item_id));
  return place + 1;
}

/**
 * A step's name, with the thing it is about.
 * @param {{ step: import("../api/survey_types.d.ts").SurveyStepName, label: string }} step
 * @returns {string}
 */
export function stepTitle({ step, label }) {
  return label ? `${STEPS[step].title}: ${label}` : STEPS[step].title;
}
