/** Who plugs in where tonight, in a home whose cars share an outlet. */
import { localDay, localTime, ms } from "./time.js";

/** @typedef {import("../api/types.d.ts").Plan} Plan */
/** @typedef {import("../api/types.d.ts").PlanTurn} PlanTurn */

/**
 * The turn of each outlet that holds tonight: the one under way at the coming midnight, or now after the last swap.
 * @param {Plan} plan
 * @param {number} nowMs
 * @returns {PlanTurn[]}
 */
export function tonightsTurns(plan, nowMs) {
  const today = localDay(nowMs, plan.zone);
  return plan.turns.filter((turn) => {
    const starts = ms(turn.starts_at), ends = ms(turn.ends_at);
    if (ends <= nowMs) return false;
    const isLaterDay = localDay(starts, plan.zone) > today;
    return !isLaterDay && localDay(ends - 1, plan.zone) > today;
  });
}

/**
 * Whether a turn begins with a swap still to come, and at what time of day.
 * @param {PlanTurn} turn
 * @param {number} nowMs
 * @param {string} zone
 * @returns {string | null}
 */
export function swapTime(turn, nowMs, zone) {
  return ms(turn.starts_at) > nowMs ? localTime(turn.starts_at, zone) : null;
}
