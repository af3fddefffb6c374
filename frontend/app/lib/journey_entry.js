/** A dated journey as a form's entries in local time, and back. */
import { instantText, localDay, localTime } from "./time.js";

/** @typedef {import("../api/types.d.ts").Journey} Journey */
/** @typedef {import("../api/types.d.ts").JourneyEntry} JourneyEntry */

/** @type {import("./form_values.js").FieldSpec[]} */
export const JOURNEY_FIELDS = [
  { name: "leaves_on", label: "Leaves on", kind: "date", isRequired: true },
  { name: "leaves_time", label: "Leaves at", kind: "time", isRequired: true },
  { name: "returns_on", label: "Returns on", kind: "date", isRequired: true },
  { name: "returns_time", label: "Returns at", kind: "time", isRequired: true },
  { name: "miles", label: "Miles, there and back", kind: "decimal", isRequired: true },
  { name: "note", label: "Note", kind: "text", hint: "For yourself; nobody else sees it." },
  { name: "is_important", label: "Important: charge for it even where that means a fuller battery than usual", kind: "tick" },
  { name: "replaces_routine", label: "Takes the place of the routine on those days", kind: "tick" },
  { name: "is_business", label: "For work: I may claim its miles", kind: "tick" },
];

/** Which entry a fault the service names belongs to. */
export const JOURNEY_FAULT_FIELDS = { leaves_at: "leaves_time", returns_at: "returns_time" };

/**
 * A journey as form values; without one, a day trip on the given day.
 * @param {Journey | null} journey
 * @param {string} zone
 * @param {string} onDay YYYY-MM-DD
 * @returns {Record<string, string | boolean>}
 */
export function journeyValues(journey, zone, onDay) {
  if (!journey) {
    return {
      leaves_on: onDay, leaves_time: "09:00", returns_on: onDay, returns_time: "18:00",
      miles: "", note: "", is_important: false, replaces_routine: true, is_business: false,
    };
  }
  return {
    leaves_on: localDay(journey.leaves_at, zone),
    leaves_time: localTime(journey.leaves_at, zone),
    returns_on: localDay(journey.returns_at, zone),
    returns_time: localTime(journey.returns_at, zone),
    miles: journey.miles,
    note: journey.note,
    is_important: journey.is_important,
    replaces_routine: journey.replaces_routine,
    is_business: journey.is_business === true,
  };
}

/**
 * The form's entries as the service takes them. A time left as it was keeps its instant, which matters in the hour
 * that the clock shows twice.
 * @param {Record<string, string | boolean>} values
 * @param {string} zone
 * @param {Journey | null} [stored] the journey being changed
 * @returns {JourneyEntry}
 */
export function journeyBody(values, zone, stored = null) {
  const text = (/** @type {string} */ name) => String(values[name] ?? "").trim();
  const instant = (/** @type {"leaves" | "returns"} */ end) => {
    const [on, at] = [text(`${end}_on`), text(`${end}_time`)];
    const before = stored?.[`${end}_at`];
    const isSame = before !== undefined && localDay(before, zone) === on && localTime(before, zone) === at;
    return isSame ? before : instantText(on, at, zone);
  };
  return {
    leaves_at: instant("leaves"),
    returns_at: instant("returns"),
    miles: text("miles"),
    note: text("note"),
    is_important: values.is_important === true,
    replaces_routine: values.replaces_routine === true,
    is_business: values.is_business === true,
  };
}
