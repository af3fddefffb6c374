/**
 * The one answer a member opens the page for: plug in by when, or nothing to do tonight.
 *
 * "Tonight" runs from now to the next noon in the household's zone (before 04:00, to the noon of the same day), plus
 * anything that starts later today, so a night shift's daytime charging is not put off to the evening.
 */
import { addDays, instantOf, localDay, localTime, ms } from "./time.js";

/** @typedef {import("../api/types.d.ts").Plan} Plan */
/** @typedef {import("../api/types.d.ts").PlanVehicle} PlanVehicle */
/** @typedef {import("../api/types.d.ts").PlanStay} PlanStay */
/** @typedef {import("../api/types.d.ts").PlanBlock} PlanBlock */
/** @typedef {import("./bars.js").Bar} Bar */

/**
 * What one car does tonight, or next.
 * @typedef {object} CarTurn
 * @property {PlanVehicle} vehicle
 * @property {PlanStay | null} stay the stay at home that holds the blocks
 * @property {PlanBlock[]} blocks those not over yet
 * @property {boolean} isTonight
 * @property {boolean} isCharging a block is running now
 */

/**
 * @typedef {object} Answer
 * @property {"plug_in" | "keep_in" | "nothing" | "barred" | "stopped"} kind barred: at least one car must not charge
 * @property {string | null} byAt instant to be plugged in by (keep_in: the running block's end)
 * @property {CarTurn[]} tonight in the order in which they plug in
 * @property {Bar[]} bars the cars that must not charge, which have no turn
 * @property {CarTurn | null} next the first turn after tonight, when there is nothing tonight
 */

/**
 * The end of "tonight".
 * @param {number} nowMs
 * @param {string} zone
 * @returns {number} ms since the epoch
 */
export function tonightEndsMs(nowMs, zone) {
  const today = localDay(nowMs, zone);
  const isEarly = localTime(nowMs, zone) < "04:00";
  return instantOf(isEarly ? today : addDays(today, 1), "12:00", zone);
}

/**
 * The next turn of one car: its first stay with a block that is not over.
 * @param {PlanVehicle} vehicle
 * @param {number} nowMs
 * @param {string} zone
 * @returns {CarTurn}
 */
export function nextTurn(vehicle, nowMs, zone) {
  for (const stay of vehicle.stays) {
    const blocks = stay.blocks.filter((block) => ms(block.ends_at) > nowMs);
    if (blocks.length > 0) {
      const startMs = ms(blocks[0].starts_at);
      return { vehicle, stay, blocks, isTonight: startMs < tonightEndsMs(nowMs, zone), isCharging: startMs <= nowMs };
    }
  }
  return { vehicle, stay: null, blocks: [], isTonight: false, isCharging: false };
}

/**
 * The headline answer of a plan at an instant.
 * @param {Plan} plan
 * @param {number} nowMs
 * @param {Bar[]} [bars] the cars that must not charge, whatever an older plan still holds for them
 * @returns {Answer}
 */
export function answerFor(plan, nowMs, bars = []) {
  if (plan.is_stopped) return { kind: "stopped", byAt: null, tonight: [], bars, next: null };
  const turns = plan.vehicles
    .filter((vehicle) => !bars.some((bar) => bar.vehicle === vehicle))
    .map((vehicle) => nextTurn(vehicle, nowMs, plan.zone))
    .filter((turn) => turn.blocks.length > 0)
    .sort((left, right) => ms(left.blocks[0].starts_at) - ms(right.blocks[0].starts_at));
  const tonight = turns.filter((turn) => turn.isTonight);
  if (bars.length > 0) return { kind: "barred", byAt: null, tonight, bars, next: null };
  if (tonight.length === 0) return { kind: "nothing", byAt: null, tonight, bars, next: turns[0] ?? null };
  const first = tonight[0];
  if (first.isCharging) return { kind: "keep_in", byAt: first.blocks[0].ends_at, tonight, bars, next: null };
  return { kind: "plug_in", byAt: first.blocks[0].starts_at, tonight, bars, next: null };
}

/**
 * A turn's energy and cost over the blocks that are left; the cost is null when any part is not known.
 * @param {CarTurn} turn
 * @returns {{ energyKwh: number, costPence: string | null }}
 */
export function turnTotals(turn) {
  const energyKwh = turn.blocks.reduce((sum, block) => sum + block.energy_kwh, 0);
  let pence = 0;
  for (const block of turn.blocks) {
    if (block.cost_pence === null) return { energyKwh, costPence: null };
    pence += Number(block.cost_pence);
  }
  return { energyKwh, costPence: String(Number(pence.toFixed(6))) };
}

/**
 * Is a time's day today, tomorrow, or another?
 * @param {string | number} at
 * @param {number} nowMs
 * @param {string} zone
 * @returns {"today" | "tomorrow" | "later"}
 */
export function dayNearness(at, nowMs, zone) {
  const today = localDay(nowMs, zone);
  const day = localDay(at, zone);
  if (day === today) return "today";
  return day === addDays(today, 1) ? "tomorrow" : "later";
}
