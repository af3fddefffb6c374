/** What an administrator enters about a home and its parts, field by field. */
import { PORT_WORDS } from "./drive_words.js";
import {
  CONTROL_WORDS, EARTHING_WORDS, LEAD_KIND_WORDS, LOAD_WORDS, NATION_WORDS, OUTLET_KIND_WORDS, PLACE_WORDS, TENURE_WORDS, YES_NO_WORDS, choices,
} from "./wording.js";

/** @typedef {import("./form_values.js").FieldSpec} FieldSpec */
/** @typedef {import("../api/types.d.ts").Household} Household */

const NONE = { value: "", label: "None" };

/**
 * Choices of which "not known" is what nothing recorded means.
 * @param {Record<string, string>} words
 */
function notKnownFirst(words) {
  return choices(words).sort((left, right) => Number(right.value === "not_known") - Number(left.value === "not_known"));
}

/** @type {FieldSpec[]} */
export const HOME_FIELDS = [
  { name: "reference", label: "Reference", kind: "text", isRequired: true, hint: "The scheme's own number for this home." },
  { name: "member_name", label: "Member's name", kind: "text", isRequired: true },
  { name: "address", label: "Address", kind: "text" },
  { name: "postcode", label: "Postcode", kind: "text" },
  { name: "nation", label: "Nation", kind: "select", options: choices(NATION_WORDS), hint: "Decides which days are bank holidays." },
  { name: "zone", label: "Time zone", kind: "text", isRequired: true, hint: "Such as Europe/London." },
  { name: "region", label: "Distribution region", kind: "text", isNullable: true, hint: "Where prices differ by region." },
  { name: "payment", label: "Payment method", kind: "text", isNullable: true, hint: "Where prices differ by payment." },
  { name: "tenure", label: "Who owns it", kind: "select", options: notKnownFirst(TENURE_WORDS), hint: "Decides how often the wiring has to be inspected." },
  { name: "occupied_since_on", label: "The same people live there since", kind: "date", isNullable: true, hint: "An inspection from before that day is due again on it." },
];

/** @type {FieldSpec[]} */
export const SUPPLY_FIELDS = [
  { name: "fuse_a", label: "Service fuse", kind: "number", unit: "A", min: 1, step: 1, isNullable: true, hint: "Leave empty where it is not known." },
  { name: "phases", label: "Phases", kind: "number", min: 1, max: 3, step: 1, isRequired: true },
  { name: "earthing", label: "Earthing", kind: "select", options: choices(EARTHING_WORDS) },
  { name: "looped", label: "Looped supply", kind: "select", options: choices(YES_NO_WORDS) },
  { name: "other_loads", label: "Other large loads, in words", kind: "long" },
];

const LOAD_NAME = "load_";

/** What each kind of load takes; the maximum demand reckons with it. @type {FieldSpec[]} */
export const LOAD_FIELDS = Object.entries(LOAD_WORDS).map(([kind, label]) => ({
  name: LOAD_NAME + kind, label, kind: /** @type {const} */ ("numbers"), unit: "W", hint: "Each one's power; 0 where there is none, empty where it is not known.",
}));

/**
 * Loads as the form's entries.
 * @param {import("../api/types.d.ts").Supply["loads"]} loads
 * @returns {Record<string, string>}
 */
export function loadEntries(loads) {
  return Object.fromEntries(LOAD_FIELDS.map(({ name }) => {
    const own = loads.filter(({ kind }) => LOAD_NAME + kind === name);
    return [name, own.some(({ power_w }) => power_w === null) ? "" : own.map(({ power_w }) => power_w).join(", ")];
  }));
}

/**
 * The loads to send; a kind without an entry is not known.
 * @param {Record<string, unknown>} body of LOAD_FIELDS
 * @returns {import("../api/types.d.ts").Supply["loads"]}
 */
export function loadsOf(body) {
  return LOAD_FIELDS.flatMap(({ name }) => /** @type {number[]} */ (body[name] ?? []).map((power_w) => ({ kind: name.slice(LOAD_NAME.length), power_w })));
}

/** @type {FieldSpec[]} */
const IDENTITY_FIELDS = [
  { name: "maker_model", label: "Maker and model, as marked", kind: "text" },
  { name: "serial_or_batch", label: "Serial or batch", kind: "text" },
  { name: "supplied_by", label: "Supplied by", kind: "text" },
  { name: "since_on", label: "In use since", kind: "date", isNullable: true },
];

/**
 * @param {Household} home
 * @returns {FieldSpec[]}
 */
export function outletFields(home) {
  return [
    { name: "label", label: "Name", kind: "text", isRequired: true, hint: "As the family calls it, such as Garage socket." },
    { name: "place", label: "Place", kind: "select", options: choices(PLACE_WORDS) },
    { name: "car_place", label: "Where the car stands", kind: "select", options: notKnownFirst(PLACE_WORDS) },
    { name: "limit_a", label: "Limit for hours on end", kind: "number", unit: "A", min: 1, step: 1, isRequired: true },
    { name: "phases", label: "Phases", kind: "number", min: 1, max: 3, step: 1, isRequired: true },
    { name: "circuit_id", label: "Circuit", kind: "select", isNullable: true, options: [NONE, ...home.circuits.map(({ id, label }) => ({ value: id, label }))] },
    { name: "ip_code", label: "IP code", kind: "text", hint: "Such as IP44; empty where it is not known." },
    { name: "ev_mark", label: "Marked EV", kind: "select", options: notKnownFirst(YES_NO_WORDS) },
    { name: "in_sun", label: "In the sun or by a heater", kind: "select", options: notKnownFirst(YES_NO_WORDS) },
    { name: "nights_a_week", label: "Nights a week in use", kind: "number", min: 0, max: 7, step: 1, isNullable: true },
    { name: "control", label: "How its times are set", kind: "select", options: notKnownFirst(CONTROL_WORDS), hint: "A plug with a timer starts and stops once a night." },
    {
      name: "start_delay_s", label: "May start late by up to", kind: "number", unit: "min", factor: 60, min: 0, max: 30, step: "any", isNullable: true,
      hint: "A smart point's random delay; empty where it is not known.",
    },
    ...IDENTITY_FIELDS,
  ];
}

/** Only for a new one: another kind of outlet is another outlet. @type {FieldSpec} */
export const OUTLET_KIND_FIELD = { name: "kind", label: "Kind", kind: "select", options: choices(OUTLET_KIND_WORDS) };

export const NEW_OUTLET = { phases: 1, place: "not_known" };

/** Only for a new one. @type {FieldSpec} */
export const LEAD_KIND_FIELD = { name: "kind", label: "Kind", kind: "select", options: choices(LEAD_KIND_WORDS) };

/** @type {FieldSpec[]} */
export const LEAD_FIELDS = [
  { name: "label", label: "Name", kind: "text", isRequired: true },
  { name: "rated_a", label: "Rated for", kind: "number", unit: "A", min: 1, step: 1, isRequired: true },
  { name: "set_a", label: "Set to", kind: "number", unit: "A", min: 1, step: 1, isRequired: true, hint: "What it is set to now; plans reckon with this." },
  { name: "settings_a", label: "Can be set to", kind: "numbers", unit: "A", hint: "Such as 6, 8, 10; empty where it cannot be set." },
  { name: "has_plug_sensor", label: "Plug senses its temperature", kind: "select", options: notKnownFirst(YES_NO_WORDS) },
  { name: "length_m", label: "Length", kind: "number", unit: "m", min: 0, max: 100, step: 0.1, isNullable: true },
  ...IDENTITY_FIELDS,
];

/** Where the charging port is, as seen from the driver's seat. @type {FieldSpec} */
export const PORT_FIELD = {
  name: "port", label: "Charging port", kind: "select", options: notKnownFirst(PORT_WORDS),
  hint: "Left and right as seen from the driver's seat. Which way round the lead reaches depends on it.",
};

/** @type {FieldSpec} */
const STANDBY_FIELD = {
  name: "standby_w", label: "Draw while standing", kind: "number", unit: "W", min: 0, max: 500, step: 1, isRequired: true,
  hint: "What it takes from its battery when parked, on average: about 42 W for each kWh a day. 0 where it is nothing to speak of.",
};

/**
 * What the member may say of where a car charges, besides its usual outlet.
 * @param {{ id: string, label: string }[]} outlets
 * @param {string | null} [usualId] is not offered a second time
 * @returns {FieldSpec[]}
 */
export function chargingFields(outlets, usualId = null) {
  /** @type {FieldSpec} */
  const others = {
    name: "other_outlet_ids", label: "Could also charge at", kind: "ticks",
    options: outlets.filter(({ id }) => id !== usualId).map(({ id, label }) => ({ value: id, label })),
    hint: "With the same lead, which must be allowed there too. The plan then says at which outlet it charges.",
  };
  /** @type {FieldSpec} */
  const taper = {
    name: "taper_from_percent", label: "Slows down from", kind: "number", unit: "%", min: 50, max: 100, step: 1, isNullable: true,
    hint: "The charge from which it draws less; empty where it is not known.",
  };
  return others.options?.length ? [taper, STANDBY_FIELD, PORT_FIELD, others] : [taper, STANDBY_FIELD, PORT_FIELD];
}

/**
 * @param {Household} home
 * @returns {FieldSpec[]}
 */
export function vehicleFields(home) {
  const outlets = home.outlets.map(({ id, label }) => ({ value: id, label }));
  const leads = home.leads.map(({ id, label }) => ({ value: id, label }));
  return [
    { name: "label", label: "Name", kind: "text", isRequired: true },
    { name: "battery_kwh", label: "Usable battery", kind: "number", unit: "kWh", min: 1, isRequired: true },
    { name: "miles_per_kwh", label: "Miles per kWh of battery", kind: "number", min: 0.1, isRequired: true },
    { name: "onboard_limit_a", label: "On-board charger", kind: "number", unit: "A", min: 1, step: 1, isRequired: true },
    { name: "onboard_phases", label: "On-board phases", kind: "number", min: 1, max: 3, step: 1, isRequired: true },
    { name: "ceiling_percent", label: "Everyday ceiling", kind: "number", unit: "%", min: 1, max: 100, step: 1, isRequired: true },
    { name: "reserve_percent", label: "Reserve", kind: "number", unit: "%", min: 0, max: 100, step: 1, isRequired: true },
    { name: "outlet_id", label: "Outlet", kind: "select", isNullable: true, options: [NONE, ...outlets] },
    { name: "lead_id", label: "Lead", kind: "select", isNullable: true, options: [NONE, ...leads] },
    ...chargingFields(home.outlets),
  ];
}

export const NEW_VEHICLE = { onboard_limit_a: 32, onboard_phases: 1, ceiling_percent: 80, reserve_percent: 20 };

/**
 * @param {{ id: string, name: string }[]} tariffs
 * @returns {FieldSpec[]}
 */
export function contractFields(tariffs) {
  return [
    { name: "tariff_id", label: "Tariff", kind: "select", isRequired: true, options: tariffs.map(({ id, name }) => ({ value: id, label: name })) },
    { name: "starts_on", label: "Starts on", kind: "date", isRequired: true },
    { name: "ends_on", label: "Ends on", kind: "date", isNullable: true, hint: "The first day without it. After that the price is not known." },
    {
      name: "clock", label: "This home's meter clock", kind: "select", isNullable: true,
      options: [{ value: "", label: "As the tariff says" }, { value: "local", label: "Local time" }, { value: "gmt", label: "GMT all year" }],
    },
    { name: "fixed_until_on", label: "Fixed until", kind: "date", isNullable: true, hint: "The first day on which leaving is free. Empty: not fixed, or not known." },
    { name: "exit_fee_pence", label: "Leaving earlier costs", kind: "number", unit: "£", factor: 100, min: 0, step: 0.01, hint: "Empty: not known." },
  ];
}
