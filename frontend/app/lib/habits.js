/** A home's habits as a form's entries, and back; and how sure a plan is to be, in words. */

/** @typedef {import("../api/habit_types.d.ts").Habits} Habits */
/** @typedef {import("./form_values.js").FieldSpec} FieldSpec */
/** @typedef {import("./form_values.js").FormValues} FormValues */

const SWAPS_MAX = 3;
const OFFERED_PERMILLE = [500, 600, 700, 800, 900, 950, 1000];

/**
 * How many days a plan covers: 900 -> "9 days in 10", 950 -> "19 days in 20".
 * @param {number} permille
 * @returns {string}
 */
export function daysWords(permille) {
  if (permille === 1000) return "every day";
  const of = [10, 20, 100, 200, 500, 1000].find((days) => (permille * days) % 1000 === 0) ?? 1000;
  return `${(permille * of) / 1000} days in ${of}`;
}

/**
 * The form's fields; a share of days that is not among those offered stands there too.
 * @param {Habits} habits
 * @returns {FieldSpec[]}
 */
export function habitFields(habits) {
  const shares = [...new Set([...OFFERED_PERMILLE, habits.need_quantile_permille])].sort((left, right) => left - right);
  return [
    { name: "swap_1", label: "Swap the cars at", kind: "time", isRequired: true, hint: "When somebody is up to change which car is plugged in." },
    { name: "swap_2", label: "And at", kind: "time", hint: "Empty where once an evening is enough." },
    { name: "swap_3", label: "And also at", kind: "time" },
    {
      name: "need_quantile_permille", label: "Have enough charge on", kind: "select", hint: "As far as a car's diary says how far it goes.",
      options: shares.map((permille) => ({ value: String(permille), label: daysWords(permille) })),
    },
    { name: "quiet_from", label: "No charging from", kind: "time", isNullable: true, hint: "Quiet hours; empty where it may charge at any time." },
    { name: "quiet_until", label: "No charging until", kind: "time", isNullable: true },
    { name: "yearly_kwh", label: "The house uses in a year", kind: "number", unit: "kWh", min: 0, step: 1, isNullable: true, hint: "Without the cars; it stands on the supplier's yearly statement. Empty where it is not known." },
  ];
}

/** Which entry a fault that the service names belongs to. @type {Record<string, string>} */
export const HABIT_FAULT_FIELDS = {
  swap_times: "swap_1", "swap_times.0": "swap_1", "swap_times.1": "swap_2", "swap_times.2": "swap_3",
};

/**
 * @param {Habits} habits
 * @returns {FormValues}
 */
export function habitValues(habits) {
  const swaps = Object.fromEntries(Array.from({ length: SWAPS_MAX }, (_, place) => [`swap_${place + 1}`, habits.swap_times[place] ?? ""]));
  return {
    ...swaps,
    need_quantile_permille: String(habits.need_quantile_permille),
    quiet_from: habits.quiet_from ?? "",
    quiet_until: habits.quiet_until ?? "",
    yearly_kwh: habits.yearly_kwh === null ? "" : String(habits.yearly_kwh),
  };
}

/**
 * The form's entries as the service takes them: swaps in the order of the day, each once.
 * @param {FormValues} values
 * @returns {Habits}
 */
export function habitsOf(values) {
  const text = (/** @type {string} */ name) => String(values[name] ?? "").trim();
  const swaps = Array.from({ length: SWAPS_MAX }, (_, place) => text(`swap_${place + 1}`)).filter(Boolean);
  return {
    swap_times: [...new Set(swaps)].sort(),
    need_quantile_permille: Number(text("need_quantile_permille")),
    yearly_kwh: text("yearly_kwh") === "" ? null : Number(text("yearly_kwh")),
    quiet_from: text("quiet_from") || null,
    quiet_until: text("quiet_until") || null,
  };
}
