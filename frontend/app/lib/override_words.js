/** The words and dates of a safety officer's decisions. */

/** @typedef {import("../api/types.d.ts").Household} Household */
/** @typedef {import("../api/visit_types.d.ts").HomeVisit} HomeVisit */

const DAY_MS = 86_400_000;

/** As in service/safety/domain/overrides.py, which refuses what goes beyond. */
export const EXTENSION_DAYS = 14;

/** What a decision may make of an answer, the strictest first. @type {Record<string, string>} */
export const DECISION_WORDS = { do_not_use: "do not use", not_known: "not known", use_with_limits: "use with limits" };

/**
 * @param {Household} home
 * @param {string} id of an outlet or a lead
 * @returns {string}
 */
export function itemLabel(home, id) {
  return [...home.outlets, ...home.leads].find((item) => item.id === id)?.label ?? "An item no longer recorded";
}

/**
 * When the inspection that counts for an outlet falls due; "" where none counts.
 * @param {Household} home
 * @param {string} outletId
 * @returns {string} YYYY-MM-DD
 */
export function inspectionDueOn(home, outletId) {
  const counting = /** @type {import("../api/visit_types.d.ts").RecordedInspection[]} */ (/** @type {unknown} */ (home.inspections))
    .filter((one) => one.outlet_id === outletId && one.accepted_at && !one.superseded_at && !one.refused_at && !one.is_partial);
  return counting.sort((left, right) => right.inspected_on.localeCompare(left.inspected_on))[0]?.next_due_on ?? "";
}

/**
 * Some days after a date.
 * @param {string} date YYYY-MM-DD
 * @param {number} days
 * @returns {string}
 */
export function daysAfter(date, days) {
  return new Date(Date.parse(`${date}T00:00Z`) + days * DAY_MS).toISOString().slice(0, 10);
}

/**
 * The visits to an outlet whose day is agreed and has not gone by.
 * @param {HomeVisit[]} visits
 * @param {string} outletId
 * @param {string} today YYYY-MM-DD
 * @returns {HomeVisit[]}
 */
export function bookedVisits(visits, outletId, today) {
  return visits.filter(({ state, outlet_ids: ids, agreed_on: on }) => state === "date_agreed" && ids.includes(outletId) && on !== null && on >= today);
}

/**
 * Why an outlet's due date cannot be put off; "" where it can.
 * @param {string} dueOn "" where no inspection counts
 * @param {HomeVisit[]} booked
 * @param {string} today
 * @returns {string}
 */
export function whyNotPutOff(dueOn, booked, today) {
  if (dueOn === "") return "No inspection counts for this outlet, so there is no due date to put off. Not known stays not known.";
  if (dueOn <= today) return "The due date has come already. What has lapsed is not known, and is not put off: it takes an inspection.";
  if (booked.length === 0) return "No visit to this outlet has a day agreed. Agree one first, by the new due date.";
  return "";
}
