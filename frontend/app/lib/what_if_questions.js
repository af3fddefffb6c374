/** The questions a member can ask of a home that might be: their fields, and what is sent for them. */
import { bodyOf } from "./form_values.js";
import { sortedDepartures } from "./routine.js";

/** @typedef {import("./form_values.js").FieldSpec} FieldSpec */
/** @typedef {import("./form_values.js").FormValues} FormValues */
/** @typedef {import("../api/types.d.ts").Household} Household */
/** @typedef {import("../api/types.d.ts").RoutineDeparture} RoutineDeparture */
/** @typedef {import("../api/what_if_types.d.ts").WhatIfChanges} WhatIfChanges */
/** @typedef {import("../api/what_if_types.d.ts").TariffChoice} TariffChoice */
/** @typedef {"routine" | "second_car" | "tariff" | "outlet" | "supply" | "limits"} Question */

/**
 * What is known of the home: routines by car.
 * @typedef {{ home: Household, tariffs: TariffChoice[], routines: Record<string, RoutineDeparture[]> }} Known
 */

/** @type {Record<Question, string>} */
export const QUESTION_WORDS = {
  routine: "Another commute",
  second_car: "A second car",
  tariff: "Another tariff",
  outlet: "Another outlet",
  supply: "A bigger fuse",
  limits: "Another ceiling or reserve",
};

const WORKDAYS = [0, 1, 2, 3, 4];
const USUAL_FUSES_A = [60, 80, 100];
const DAYS = [
  { value: "workdays", label: "Monday to Friday" },
  { value: "driven", label: "the days driven now" },
  { value: "all", label: "every day" },
];

/** kind, A per phase and phases of outlets to choose from */
const OUTLETS = [
  { value: "charging_point 32 1", label: "a charging point, 32 A" },
  { value: "charging_point 16 1", label: "a charging point, 16 A" },
  { value: "charging_point 32 3", label: "a charging point, 32 A, three-phase" },
  { value: "socket_13a 10 1", label: "a 13 A socket, 10 A" },
];

/**
 * The questions that make sense for a home.
 * @param {Known} known
 * @returns {Question[]}
 */
export function questionsFor({ home, tariffs }) {
  const hasCar = home.vehicles.length > 0;
  const all = /** @type {Question[]} */ (Object.keys(QUESTION_WORDS));
  return all.filter((question) => {
    if (question === "routine" || question === "limits") return hasCar;
    if (question === "outlet" || question === "second_car") return home.outlets.length > 0;
    return question !== "tariff" || tariffs.length > 0;
  });
}

/**
 * @param {string} name
 * @param {string} label
 * @param {{ id: string, label: string }[]} items
 * @param {{ value: string, label: string }[]} [first]
 * @returns {FieldSpec}
 */
function choice(name, label, items, first = []) {
  return { name, label, kind: "select", options: [...first, ...items.map((item) => ({ value: item.id, label: item.label }))] };
}

/** @type {FieldSpec[]} */
const TRIP = [
  { name: "days", label: "Days", kind: "select", options: DAYS },
  { name: "leaves_at", label: "Leaves", kind: "time", isRequired: true },
  { name: "returns_at", label: "Returns", kind: "time", isRequired: true },
  { name: "miles", label: "Miles in all", kind: "decimal", isRequired: true, hint: "There and back." },
];

/**
 * The fields of a question.
 * @param {Question} question
 * @param {Known} known
 * @returns {FieldSpec[]}
 */
export function fieldsOf(question, { home, tariffs }) {
  const car = choice("vehicle_id", "Car", home.vehicles);
  const outlet = choice("outlet_id", "Outlet", home.outlets);
  /** @type {FieldSpec} */
  const name = { name: "label", label: "Keep it as", kind: "text", isRequired: true };
  /** @type {Record<Question, FieldSpec[]>} */
  const fields = {
    routine: [car, ...TRIP],
    second_car: [
      { name: "battery_kwh", label: "Usable battery", kind: "number", unit: "kWh", min: 1, max: 250, step: 0.1, isRequired: true },
      { name: "miles_per_kwh", label: "Miles per kWh", kind: "decimal", isRequired: true },
      { name: "onboard_limit_a", label: "It can draw", kind: "number", unit: "A", min: 6, max: 80, step: 1, isRequired: true },
      outlet,
      choice("lead_id", "Lead", home.leads, [{ value: "", label: "none: the outlet has its own cable" }]),
      ...TRIP.map((field) => (field.name === "days" ? { ...field, options: DAYS.filter(({ value }) => value !== "driven") } : field)),
    ],
    tariff: [choice("tariff_id", "Tariff", tariffs.map(({ id, name: label }) => ({ id, label })))],
    outlet: [outlet, { name: "becomes", label: "Becomes", kind: "select", options: OUTLETS }],
    supply: [{ name: "fuse_a", label: "Fuse", kind: "number", unit: "A", min: 5, max: 200, step: 1, isRequired: true }],
    limits: [
      car,
      { name: "ceiling_percent", label: "Everyday ceiling", kind: "number", unit: "%", min: 50, max: 100, step: 1, isRequired: true },
      { name: "reserve_percent", label: "Reserve", kind: "number", unit: "%", min: 0, max: 60, step: 1, isRequired: true },
    ],
  };
  return [...fields[question], name];
}

/**
 * A trip as the first car drives it now from Monday to Friday, or a plain working day.
 * @param {Known} known
 * @returns {FormValues}
 */
function usualTrip({ home, routines }) {
  const driven = routines[home.vehicles[0]?.id]?.find(({ weekday }) => weekday < 5);
  const { leaves_at, returns_at, miles } = driven ?? { leaves_at: "08:00", returns_at: "18:00", miles: "20" };
  return { days: "workdays", leaves_at, returns_at, miles };
}

/**
 * The next usual fuse, the greatest where none is recorded.
 * @param {Household} home
 * @returns {number}
 */
function nextFuse(home) {
  const fuse = home.supply?.fuse_a ?? null;
  return USUAL_FUSES_A.find((each) => fuse !== null && each > fuse) ?? 100;
}

/** @type {Record<Question, (known: Known) => FormValues>} */
const STARTS = {
  routine: (known) => ({ vehicle_id: known.home.vehicles[0]?.id ?? "", ...usualTrip(known) }),
  second_car: (known) => ({
    battery_kwh: "50", miles_per_kwh: "3.5", onboard_limit_a: "32", outlet_id: known.home.outlets[0]?.id ?? "",
    lead_id: leadFor(known.home.outlets[0], known.home), ...usualTrip(known),
  }),
  tariff: ({ home, tariffs }) => {
    const held = home.contracts.at(-1)?.tariff_id;
    return { tariff_id: (tariffs.find(({ id }) => id !== held) ?? tariffs[0])?.id ?? "" };
  },
  outlet: ({ home }) => ({ outlet_id: home.outlets[0]?.id ?? "", becomes: OUTLETS[0].value }),
  supply: ({ home }) => ({ fuse_a: String(nextFuse(home)) }),
  limits: ({ home }) => ({
    vehicle_id: home.vehicles[0]?.id ?? "", ceiling_percent: "100", reserve_percent: String(home.vehicles[0]?.reserve_percent ?? 20),
  }),
};

/**
 * What a question's form starts with: the home as it is, or the usual next step.
 * @param {Question} question
 * @param {Known} known
 * @returns {FormValues}
 */
export function startOf(question, known) {
  return { ...STARTS[question](known), label: QUESTION_WORDS[question] };
}

/**
 * The first lead of the home that goes with an outlet; none where it has its own cable.
 * @param {Household["outlets"][number] | undefined} outlet
 * @param {Household} home
 * @returns {string}
 */
function leadFor(outlet, home) {
  if (!outlet || outlet.is_tethered) return "";
  const kind = outlet.kind === "socket_13a" ? "mode_2" : "mode_3_cable";
  return home.leads.find((lead) => lead.kind === kind)?.id ?? "";
}

/**
 * A week with one trip on each of some days in place of what was there; other days stay.
 * @param {RoutineDeparture[]} now
 * @param {FormValues} values
 * @returns {RoutineDeparture[]}
 */
export function changedWeek(now, values) {
  const driven = [...new Set(now.map(({ weekday }) => weekday))];
  const days = values.days === "workdays" ? WORKDAYS : values.days === "driven" ? driven : [0, 1, 2, 3, 4, 5, 6];
  const leaves = String(values.leaves_at), returns = String(values.returns_at);
  const trips = days.map((weekday) => ({
    weekday, leaves_at: leaves, returns_at: returns, returns_days_later: returns <= leaves ? 1 : 0, miles: String(values.miles).trim(),
  }));
  return sortedDepartures([...now.filter(({ weekday }) => !days.includes(weekday)), ...trips]);
}

/**
 * What is sent for a question.
 * @param {Question} question
 * @param {Known} known
 * @param {FormValues} values
 * @returns {{ label: string, changes: WhatIfChanges }}
 */
export function bodyFor(question, known, values) {
  const body = bodyOf(fieldsOf(question, known), values);
  const label = body.label;
  if (question === "routine") {
    const departures = changedWeek(known.routines[body.vehicle_id] ?? [], values);
    return { label, changes: { routine: { vehicle_id: body.vehicle_id, departures } } };
  }
  if (question === "second_car") {
    const { battery_kwh, miles_per_kwh, onboard_limit_a, outlet_id, lead_id } = body;
    const car = { battery_kwh, miles_per_kwh, onboard_limit_a, outlet_id, lead_id: lead_id || null };
    return { label, changes: { second_car: { ...car, departures: changedWeek([], values) } } };
  }
  if (question === "tariff") return { label, changes: { tariff: { tariff_id: body.tariff_id } } };
  if (question === "supply") return { label, changes: { supply: { fuse_a: body.fuse_a, phases: known.home.supply?.phases ?? 1 } } };
  if (question === "limits") {
    const { vehicle_id, ceiling_percent, reserve_percent } = body;
    return { label, changes: { limits: { vehicle_id, ceiling_percent, reserve_percent } } };
  }
  const [kind, limit, phases] = String(values.becomes).split(" ");
  return {
    label,
    changes: {
      outlet: {
        outlet_id: body.outlet_id, kind: /** @type {"socket_13a" | "charging_point"} */ (kind), limit_a: Number(limit),
        phases: Number(phases), control: kind === "charging_point" ? "schedule" : "not_known",
      },
    },
  };
}

/**
 * Where the service names a field otherwise than the form does.
 * @param {Question} question
 * @returns {Record<string, string>} the service's field -> the form's
 */
export function faultFieldsOf(question) {
  const names = ["vehicle_id", "battery_kwh", "miles_per_kwh", "onboard_limit_a", "outlet_id", "lead_id", "tariff_id", "fuse_a",
    "ceiling_percent", "reserve_percent"];
  const trip = Array.from({ length: 7 }, (_, place) => ["leaves_at", "returns_at", "miles"].map((name) =>
    [`changes.${question}.departures.${place}.${name}`, name])).flat();
  const outlet = ["kind", "limit_a", "phases"].map((name) => [`changes.outlet.${name}`, "becomes"]);
  return Object.fromEntries([...names.map((name) => [`changes.${question}.${name}`, name]), ...trip, ...outlet]);
}
