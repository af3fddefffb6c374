/** A weekly routine as rows of a grid, and the checks that need no service. */

/** @typedef {import("../api/types.d.ts").RoutineDeparture} RoutineDeparture */

/**
 * The departures of one weekday, in the order of leaving.
 * @param {RoutineDeparture[]} departures
 * @param {number} weekday Monday = 0
 * @returns {{ departure: RoutineDeparture, index: number }[]} with their place in the whole list
 */
export function departuresOn(departures, weekday) {
  return departures
    .map((departure, index) => ({ departure, index }))
    .filter(({ departure }) => departure.weekday === weekday);
}

/**
 * The list in the order in which the week runs.
 * @param {RoutineDeparture[]} departures
 * @returns {RoutineDeparture[]}
 */
export function sortedDepartures(departures) {
  return [...departures].sort(
    (left, right) => left.weekday - right.weekday || left.leaves_at.localeCompare(right.leaves_at),
  );
}

/**
 * A new departure for a day: like the last one in the list, or a plain working day.
 * @param {RoutineDeparture[]} departures
 * @param {number} weekday
 * @returns {RoutineDeparture}
 */
export function newDeparture(departures, weekday) {
  const like = departures.at(-1);
  if (like) return { ...like, weekday };
  return { weekday, leaves_at: "08:00", returns_at: "18:00", returns_days_later: 0, miles: "20" };
}

/**
 * The list with one weekday's departures copied to other days, replacing theirs.
 * @param {RoutineDeparture[]} departures
 * @param {number} from
 * @param {number[]} to
 * @returns {RoutineDeparture[]}
 */
export function copiedDay(departures, from, to) {
  const kept = departures.filter(({ weekday }) => !to.includes(weekday) || weekday === from);
  const pattern = departures.filter(({ weekday }) => weekday === from);
  const copies = to.filter((day) => day !== from).flatMap((weekday) => pattern.map((departure) => ({ ...departure, weekday })));
  return sortedDepartures([...kept, ...copies]);
}

/**
 * What is wrong with the list, by field; the service checks the rest.
 * @param {RoutineDeparture[]} departures
 * @returns {Record<string, string>} dotted path -> what to put right
 */
export function routineFaults(departures) {
  /** @type {Record<string, string>} */
  const faults = {};
  departures.forEach((departure, index) => {
    const path = `departures.${index}`;
    if (departure.returns_days_later === 0 && departure.returns_at <= departure.leaves_at) {
      faults[`${path}.returns_at`] = "The return is not after the departure. Choose a later time or a later day.";
    }
    if (!(Number(departure.miles) >= 0) || departure.miles.trim() === "") {
      faults[`${path}.miles`] = "Enter the miles of the whole trip, there and back.";
    }
  });
  return faults;
}
