/** A car's charge now, in words: what was entered, and what the plan counts on where that differs. */
import { BASIS_WORDS } from "./plan_words.js";
import { counted, formatPercent } from "./quantity.js";
import { formatInstant, ms } from "./time.js";

/** @typedef {import("../api/types.d.ts").Plan} Plan */
/** @typedef {import("../api/types.d.ts").PlanVehicle} PlanVehicle */
/** @typedef {import("../api/types.d.ts").StateOfCharge} StateOfCharge */

const FRESH_MS = 30 * 60_000;

/**
 * Is the car away until its first stay begins? (A stay that begins with the plan was already running.)
 * @param {PlanVehicle} vehicle
 * @param {Plan} plan
 * @param {number} nowMs
 * @returns {boolean}
 */
function isAway(vehicle, plan, nowMs) {
  const first = vehicle.stays[0];
  return first !== undefined && ms(first.arrives_at) > Math.max(nowMs, ms(plan.starts_at));
}

/**
 * The line on a car's charge.
 * @param {PlanVehicle} vehicle
 * @param {StateOfCharge | null} reading what was last entered; null where it could not be read
 * @param {Plan} plan
 * @param {number} nowMs
 * @returns {string}
 */
export function chargeWords(vehicle, reading, plan, nowMs) {
  const doubt = vehicle.charge_basis === "estimated" && vehicle.charge_doubt_percent ? `, give or take ${counted(vehicle.charge_doubt_percent, "point")}` : "";
  const planned = `${formatPercent(vehicle.charge_percent)}, ${BASIS_WORDS[vehicle.charge_basis]}${doubt}`;
  if (!reading || reading.percent === null || !reading.read_at) return `Charge now: ${planned}.`;
  const isAfterPlan = ms(reading.read_at) > ms(plan.computed_at);
  if (!isAfterPlan && vehicle.charge_basis === "not_known") return `Charge now: ${planned}.`;
  const isFresh = nowMs - ms(reading.read_at) < FRESH_MS;
  const entered = isFresh
    ? `Charge now: ${formatPercent(reading.percent)}, as you entered it`
    : `Charge: ${formatPercent(reading.percent)}, as you entered it on ${formatInstant(reading.read_at, plan.zone)}`;
  if (isAfterPlan || reading.percent === vehicle.charge_percent) return `${entered}.`;
  if (isAway(vehicle, plan, nowMs) && vehicle.charge_percent < reading.percent) {
    return `${entered}; expected on return: ${formatPercent(vehicle.charge_percent)}.`;
  }
  return `${entered}; this plan starts from ${planned}.`;
}
