/** The words a member reads for states and causes, in one place; the screens add no others. */

/** @type {Record<import("../api/types.d.ts").ClearanceWord, string>} */
export const CLEARANCE_WORDS = {
  fit_to_use: "Fit to use",
  use_with_limits: "Use with limits",
  do_not_use: "Do not use",
  not_known: "Not known",
};

/** @type {Record<import("../api/types.d.ts").ShortfallCause, string>} */
export const CAUSE_WORDS = {
  battery_too_small: "The journey needs more than a full battery holds.",
  too_few_hours_at_home: "The car is not at home long enough to take in what it needs.",
  no_usable_outlet: "The outlet and lead of this car may not be used for charging.",
  evidence_ends: "What is known of the outlet or its lead runs out before then, so nothing is planned after it.",
  outlet_shared: "Another car of this home uses the outlet at that time.",
  supply_shared: "The supply of this home cannot feed all its cars and the house at that time.",
};

/** @type {Record<string, string>} */
export const BASIS_WORDS = {
  read: "as you entered it",
  estimated: "estimated",
  not_known: "not known, taken as the reserve",
};

/**
 * The name of a working's input: "inspected_on" -> "inspected on", "limit_a" -> "limit (A)".
 * @param {string} name
 * @returns {string}
 */
export function inputName(name) {
  return name.replace(/_a$/, " (A)").replace(/_kwh$/, " (kWh)").replaceAll("_", " ");
}

/**
 * May an outlet or lead with this clearance be used?
 * @param {import("../api/types.d.ts").ClearanceWord} clearance
 * @returns {boolean}
 */
export function isUsable(clearance) {
  return clearance === "fit_to_use" || clearance === "use_with_limits";
}

export const WEEKDAYS = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"];
