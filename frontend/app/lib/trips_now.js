/**
 * A car's trips of today with the time it comes back, and what to enter where it comes back earlier or later.
 *
 * The rules of the service: a journey that takes the routine's place pushes out what leaves on any day that it covers,
 * and whatever overlaps it.
 */
import { addDays, instantOf, localDay, ms } from "./time.js";

/** @typedef {import("../api/types.d.ts").Journey} Journey */
/** @typedef {import("../api/types.d.ts").JourneyEntry} JourneyEntry */
/** @typedef {import("../api/types.d.ts").RoutineDeparture} RoutineDeparture */

/**
 * A trip under way or later today.
 * @typedef {object} TripNow
 * @property {number} leavesMs
 * @property {number} returnsMs
 * @property {string} miles
 * @property {Journey | null} journey null: it is the routine's
 */

const LONGEST_AWAY_DAYS = 6;
const DAYS_A_WEEK = 7;

/**
 * Monday is 0, as the routine counts.
 * @param {string} on YYYY-MM-DD
 * @returns {number}
 */
function weekdayNumber(on) {
  return (new Date(`${on}T00:00Z`).getUTCDay() + LONGEST_AWAY_DAYS) % DAYS_A_WEEK;
}

/**
 * The routine's trips that leave on a day.
 * @param {RoutineDeparture[]} routine
 * @param {string} on
 * @param {string} zone
 * @returns {TripNow[]}
 */
function routineTrips(routine, on, zone) {
  return routine.filter(({ weekday }) => weekday === weekdayNumber(on)).map((line) => ({
    leavesMs: instantOf(on, line.leaves_at, zone),
    returnsMs: instantOf(addDays(on, line.returns_days_later), line.returns_at, zone),
    miles: line.miles,
    journey: null,
  }));
}

/**
 * Does a journey push a routine trip out?
 * @param {Journey} journey
 * @param {string} on the day on which the trip leaves
 * @param {TripNow} trip
 * @param {string} zone
 */
function pushesOut(journey, on, trip, zone) {
  if (!journey.replaces_routine) return false;
  const covers = localDay(journey.leaves_at, zone) <= on && on <= localDay(ms(journey.returns_at) - 1, zone);
  return covers || (trip.leavesMs < ms(journey.returns_at) && ms(journey.leaves_at) < trip.returnsMs);
}

/**
 * The routine's trips of some days that stand beside the journeys.
 * @param {RoutineDeparture[]} routine
 * @param {Journey[]} journeys
 * @param {string[]} days
 * @param {string} zone
 * @returns {TripNow[]}
 */
function standing(routine, journeys, days, zone) {
  return days.flatMap((on) => routineTrips(routine, on, zone).filter((trip) => !journeys.some((journey) => pushesOut(journey, on, trip, zone))));
}

/**
 * The trips that are under way, or leave today, in order.
 * @param {RoutineDeparture[]} routine
 * @param {Journey[]} journeys those not over
 * @param {number} nowMs
 * @param {string} zone
 * @returns {TripNow[]}
 */
export function tripsNow(routine, journeys, nowMs, zone) {
  const today = localDay(nowMs, zone);
  const days = Array.from({ length: LONGEST_AWAY_DAYS + 1 }, (_, ago) => addDays(today, -ago));
  const own = journeys.map((journey) => ({
    leavesMs: ms(journey.leaves_at), returnsMs: ms(journey.returns_at), miles: journey.miles, journey,
  }));
  return [...standing(routine, journeys, days, zone), ...own]
    .filter((trip) => trip.returnsMs > nowMs && localDay(trip.leavesMs, zone) <= today)
    .sort((left, right) => left.leavesMs - right.leavesMs);
}

/**
 * What to enter so that a trip comes back at another time.
 * @typedef {object} MovedReturn
 * @property {JourneyEntry[]} others trips of the routine that the changed one would push out, to be entered before it
 * @property {JourneyEntry} moved
 */

/**
 * @param {TripNow} trip
 * @param {number} returnsMs
 * @param {{ routine: RoutineDeparture[], journeys: Journey[], nowMs: number, zone: string }} known
 * @returns {MovedReturn}
 */
export function movedReturn(trip, returnsMs, { routine, journeys, nowMs, zone }) {
  const moved = trip.journey ? { ...entryOf(trip.journey), returns_at: instant(returnsMs) } : dated(trip, returnsMs, true, returnsMs > trip.returnsMs ? "back later than usual" : "back earlier than usual");
  const [first, last] = [addDays(localDay(trip.leavesMs, zone), -LONGEST_AWAY_DAYS), localDay(returnsMs - 1, zone)];
  const others = daysBetween(first, last).flatMap((on) =>
    standing(routine, journeys, [on], zone).filter((other) => other.leavesMs !== trip.leavesMs && pushesOut({ ...moved, id: "" }, on, other, zone)));
  // A trip that is over can be entered no more; its miles must not get lost, or the charge would be taken for higher.
  const driven = others.filter((other) => other.returnsMs <= nowMs).reduce((miles, other) => miles + Number(other.miles), 0);
  return {
    others: others.filter((other) => other.returnsMs > nowMs).map((other) => dated(other, other.returnsMs, false, "as in the routine")),
    moved: driven > 0 ? { ...moved, miles: (Number(moved.miles) + driven).toFixed(1) } : moved,
  };
}

/**
 * @param {string} first YYYY-MM-DD
 * @param {string} last
 * @returns {string[]}
 */
function daysBetween(first, last) {
  return Array.from({ length: 4 * DAYS_A_WEEK }, (_, later) => addDays(first, later)).filter((on) => on <= last);
}

/**
 * @param {Journey} journey
 * @returns {JourneyEntry}
 */
function entryOf({ leaves_at, returns_at, miles, note, is_important, replaces_routine }) {
  return { leaves_at, returns_at, miles, note, is_important, replaces_routine };
}

/**
 * A trip of the routine as a dated journey.
 * @param {TripNow} trip
 * @param {number} returnsMs
 * @param {boolean} replaces
 * @param {string} note
 * @returns {JourneyEntry}
 */
function dated(trip, returnsMs, replaces, note) {
  return {
    leaves_at: instant(trip.leavesMs), returns_at: instant(returnsMs), miles: trip.miles, note, is_important: false, replaces_routine: replaces,
  };
}

/**
 * @param {number} atMs
 * @returns {string}
 */
function instant(atMs) {
  return new Date(atMs).toISOString().replace(".000Z", "+00:00");
}
