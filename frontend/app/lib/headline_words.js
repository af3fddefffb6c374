/** The words of the headline answer and of each car's turn. */
import { barWords } from "./bars.js";
import { counted } from "./quantity.js";
import { dayNearness } from "./tonight.js";
import { formatDay, formatInstant, formatTime, localDay, localTime, weekdayOf } from "./time.js";

/** @typedef {import("./tonight.js").Answer} Answer */
/** @typedef {import("./tonight.js").CarTurn} CarTurn */
/** @typedef {import("../api/types.d.ts").Plan} Plan */
/** @typedef {import("../api/types.d.ts").Household} Household */

const NIGHT_ENDS = "05:00";

/**
 * The day of an instant as a member says it: "today", "tomorrow", "Friday"; the small hours belong to the night
 * before: "tonight", "in the night to Friday".
 * @param {string | number} at
 * @param {number} nowMs
 * @param {string} zone
 * @returns {string}
 */
export function dayWords(at, nowMs, zone) {
  const nearness = dayNearness(at, nowMs, zone);
  const isSmallHours = localTime(at, zone) < NIGHT_ENDS;
  if (nearness === "later") return `${isSmallHours ? "in the night to " : ""}${weekdayOf(at, zone)}`;
  return isSmallHours ? "tonight" : nearness;
}

/**
 * The line under the headline: "Tonight, early on Thu 26 Nov", "Today, Wed 25 Nov".
 * @param {string} at
 * @param {number} nowMs
 * @param {string} zone
 * @returns {string}
 */
function dayLine(at, nowMs, zone) {
  const early = localTime(at, zone) < NIGHT_ENDS ? "early on " : "";
  const day = formatDay(localDay(at, zone));
  return `${dayNearness(at, nowMs, zone) === "today" && !early ? "Today" : early ? "Tonight" : "Tomorrow"}, ${early}${day}`;
}

/**
 * @param {CarTurn} turn
 * @param {number} nowMs
 * @param {string} zone
 * @returns {string}
 */
function turnLine(turn, nowMs, zone) {
  const { label } = turn.vehicle;
  const { starts_at: startsAt, ends_at: endsAt } = turn.blocks[0];
  if (turn.isCharging) return `${label}: plugged in now, until ${formatTime(endsAt, zone)}`;
  return `${label}: plug in by ${formatTime(startsAt, zone)} ${dayWords(startsAt, nowMs, zone)}`;
}

/**
 * A plan that a reported sign has stopped.
 * @param {Plan} plan
 * @returns {{ main: string, below: string[] }}
 */
function stoppedWords(plan) {
  const since = plan.stopped_at ? [`Since ${formatInstant(plan.stopped_at, plan.zone)}.`] : [];
  return { main: "Charging is stopped", below: [...since, ...(plan.is_current ? [] : ["A new plan is being worked out."])] };
}

/**
 * The headline: what must not be done comes before what may be.
 * @param {Answer} answer
 * @param {Plan} plan
 * @param {number} nowMs
 * @param {Household | null} [home] whose outlets' standing is known
 * @returns {{ main: string, below: string[] }}
 */
export function headlineWords(answer, plan, nowMs, home = null) {
  if (answer.kind === "stopped") return stoppedWords(plan);
  if (answer.kind === "barred") {
    const { main, below } = barWords(answer.bars, plan, home);
    return { main, below: [...below, ...answer.tonight.map((turn) => turnLine(turn, nowMs, plan.zone))] };
  }
  return chargingWords(answer, plan, nowMs);
}

/**
 * @param {Answer} answer
 * @param {Plan} plan
 * @param {number} nowMs
 * @returns {{ main: string, below: string[] }}
 */
function chargingWords(answer, plan, nowMs) {
  const { zone } = plan;
  if (answer.kind === "nothing" || answer.byAt === null) return { main: "Nothing to plug in for tonight", below: [nextLine(answer, plan, nowMs)] };
  const time = formatTime(answer.byAt, zone);
  const day = dayLine(answer.byAt, nowMs, zone);
  const isOnly = plan.vehicles.length === 1;
  const main = answer.kind === "keep_in" ? `Be plugged in now, until ${time}` : `Plug in by ${time}`;
  if (isOnly) return { main, below: [day] };
  const lines = answer.tonight.map((turn) => turnLine(turn, nowMs, zone));
  const restingCount = plan.vehicles.length - answer.tonight.length;
  const resting = restingCount > 0 ? [`${counted(restingCount, "other car")} ${restingCount === 1 ? "has" : "have"} nothing to do tonight`] : [];
  return { main, below: [day, ...lines, ...resting] };
}

/**
 * What comes after a night without charging, or why nothing does.
 * @param {Answer} answer
 * @param {Plan} plan
 * @param {number} nowMs
 * @returns {string}
 */
function nextLine(answer, plan, nowMs) {
  const { zone, vehicles } = plan;
  if (!answer.next) return vehicles.length === 0 ? "No car has been entered for this home." : "No charging is planned in the next seven days.";
  const { starts_at: startsAt } = answer.next.blocks[0];
  return `Next: ${answer.next.vehicle.label}, plug in by ${formatTime(startsAt, zone)} ${dayWords(startsAt, nowMs, zone)}`;
}
