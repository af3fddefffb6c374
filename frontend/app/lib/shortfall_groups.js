/** Shortfalls of one car with one cause told together: the cause and the next step once, the departures below. */

/** @typedef {import("../api/types.d.ts").Plan} Plan */
/** @typedef {import("../api/types.d.ts").PlanShortfall} PlanShortfall */

/**
 * @typedef {object} ShortfallGroup
 * @property {string} key
 * @property {string} label the car's
 * @property {PlanShortfall["cause"]} cause
 * @property {string} nextStep
 * @property {PlanShortfall[]} departures in the plan's order
 */

/**
 * @param {Plan} plan
 * @returns {ShortfallGroup[]}
 */
export function groupShortfalls(plan) {
  /** @type {Map<string, ShortfallGroup>} */
  const groups = new Map();
  for (const { vehicle_id: vehicleId, label, shortfalls } of plan.vehicles) {
    for (const shortfall of shortfalls) {
      const { cause, next_step: nextStep } = shortfall;
      const key = `${vehicleId} ${cause} ${nextStep}`;
      const group = groups.get(key) ?? { key, label, cause, nextStep, departures: [] };
      group.departures.push(shortfall);
      groups.set(key, group);
    }
  }
  return [...groups.values()];
}
