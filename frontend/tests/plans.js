/** Plans for tests, in the shape of the service's. */

/** @typedef {import("../app/api/types.d.ts").Plan} Plan */
/** @typedef {import("../app/api/types.d.ts").PlanVehicle} PlanVehicle */
/** @typedef {import("../app/api/types.d.ts").PlanStay} PlanStay */
/** @typedef {import("../app/api/types.d.ts").PlanWeek} PlanWeek */

/**
 * A stay with one block a pair of instants.
 * @param {[string, string][]} periods
 * @param {Partial<PlanStay>} [more]
 * @returns {PlanStay}
 */
export function stay(periods, more = {}) {
  const blocks = periods.map(([starts, ends]) => ({
    starts_at: starts, ends_at: ends, outlet_id: "o", outlet_label: "Garage", energy_kwh: 5, cost_pence: "40.5",
    why: { binding: /** @type {const} */ ("need"), serves_leaves_at: null, lowest_price_pence: "8.1", highest_price_pence: "8.1", next_best_pence: "21" },
  }));
  return { arrives_at: "2026-11-25T12:00:00Z", leaves_at: null, before_percent: 40, reached_percent: 80, energy_kwh: 5 * blocks.length, cost_pence: "40.5", blocks, ...more };
}

/**
 * @param {string} label
 * @param {PlanStay[]} stays
 * @returns {PlanVehicle}
 */
export function vehicle(label, stays) {
  return {
    vehicle_id: label, label, outlet_id: "o", outlet_label: "Garage", limit_a: 10, how_set: "one start and one stop a night",
    charge_percent: 40, charge_doubt_percent: 1, charge_basis: "read",
    energy_kwh: 10, cost_pence: "81", on_arrival_cost_pence: "200", unpriced_kwh: 0, other_ways: [], stays, shortfalls: [],
  };
}

/**
 * @param {PlanVehicle[]} vehicles
 * @param {Partial<Plan>} [more]
 * @returns {Plan}
 */
export function plan(vehicles, more = {}) {
  return {
    id: "p1", household_id: "h1", zone: "Europe/London", computed_at: "2026-11-25T12:00:00+00:00", starts_at: "2026-11-25T12:30:00+00:00",
    ends_at: "2026-12-02T00:00:00+00:00", is_current: true, is_stopped: false, stopped_at: null, tariff_name: "Harbour", turns: [], sharing_gap_pence: "0", vehicles, energy_kwh: 10, cost_pence: "81",
    on_arrival_cost_pence: "200", missing_prices: [], cautions: [], ...more,
  };
}

/**
 * The standing of the outlet that the cars of these plans use.
 * @param {import("../app/api/types.d.ts").ClearanceWord} word
 * @param {Partial<import("../app/api/types.d.ts").OutletClearance>} [more]
 * @returns {import("../app/api/types.d.ts").OutletClearance}
 */
export function clearance(word, more = {}) {
  return { outlet_id: "o", outlet_label: "Garage", clearance: word, limit_a: null, valid_until: null, evidence: "", missing: [], next_step: "Have it looked at.", working: [], ...more };
}

/**
 * @param {Partial<import("../app/api/types.d.ts").Household>} [more]
 * @returns {import("../app/api/types.d.ts").Household}
 */
export function home(more = {}) {
  return {
    id: "h1", reference: "H-01", member_name: "M", address: "", postcode: "", zone: "Europe/London", nation: "england", tenure: "not_known", region: null, payment: null,
    supply: null, circuits: [], outlets: [], leads: [], vehicles: [], contracts: [], inspections: [], rechecks: [], clearances: [], lead_clearances: [], ...more,
  };
}

/**
 * A week from a local midnight, cheap from 00:30 to 05:30 local time, one car charging in the first cheap hours.
 * @param {string} startsAt instant of a local midnight
 * @param {{ on: string, count: number }[]} days
 * @param {Partial<PlanWeek>} [more]
 * @returns {PlanWeek}
 */
export function week(startsAt, days, more = {}) {
  let first = 0;
  const placed = days.map((day) => {
    const at = { ...day, first };
    first += day.count;
    return at;
  });
  const price = [];
  const energy = [];
  for (const day of placed) {
    for (let half = 0; half < day.count; half += 1) {
      price.push(half >= 1 && half < 11 ? "9.35" : "27.6");
      energy.push(half >= 1 && half < 5 ? 1.15 : 0);
    }
  }
  return {
    zone: "Europe/London", starts_at: startsAt, is_stopped: false, count: first, days: placed, price_pence_per_kwh: price,
    is_price_known: price.map(() => true), vehicles: [{ vehicle_id: "c1", label: "Hatchback", energy_kwh: energy }], ...more,
  };
}
