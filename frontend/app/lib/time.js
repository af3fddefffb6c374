/**
 * Instants read in a household's zone, and local entries turned back into instants.
 *
 * A local day may have 23 or 25 hours: lengths are differences of instants, a time that happens twice is shown with
 * the clock it belongs to ("01:30 GMT"), a time in the missing hour moves forward by the gap, and of a repeated time
 * the first is meant; the same rules as the service's.
 */

const MINUTE_MS = 60_000;
const HOUR_MS = 3_600_000;

/** @type {Map<string, Intl.DateTimeFormat>} */
const formats = new Map();

/**
 * @param {string} zone
 * @param {Intl.DateTimeFormatOptions} options
 * @returns {Intl.DateTimeFormat}
 */
function formatFor(zone, options) {
  const key = zone + JSON.stringify(options);
  let format = formats.get(key);
  if (!format) {
    format = new Intl.DateTimeFormat("en-GB", { ...options, timeZone: zone });
    formats.set(key, format);
  }
  return format;
}

/**
 * The milliseconds of an instant.
 * @param {string | number | Date} at
 * @returns {number}
 */
export function ms(at) {
  return new Date(at).getTime();
}

/**
 * The zone's distance from UTC at an instant [ms], east positive.
 * @param {number} instantMs
 * @param {string} zone
 * @returns {number}
 */
export function offsetMs(instantMs, zone) {
  const format = formatFor(zone, {
    year: "numeric", month: "numeric", day: "numeric", hour: "numeric", minute: "numeric", hourCycle: "h23",
  });
  /** @type {Record<string, number>} */
  const part = {};
  for (const { type, value } of format.formatToParts(instantMs)) part[type] = Number(value);
  const wall = Date.UTC(part.year, part.month - 1, part.day, part.hour, part.minute);
  return wall - Math.floor(instantMs / MINUTE_MS) * MINUTE_MS;
}

/**
 * The instant at which a zone's clock shows a wall time.
 * @param {string} on day, YYYY-MM-DD
 * @param {string} at time, HH:MM
 * @param {string} zone
 * @returns {number} ms since the epoch
 */
export function instantOf(on, at, zone) {
  const wall = Date.parse(`${on}T${at}:00Z`);
  const before = offsetMs(wall - 12 * HOUR_MS, zone);
  const after = offsetMs(wall + 12 * HOUR_MS, zone);
  for (const offset of [before, after]) {
    if (offsetMs(wall - offset, zone) === offset) return wall - offset;
  }
  return wall - before;
}

/**
 * The same as an RFC 3339 text in UTC.
 * @param {string} on
 * @param {string} at
 * @param {string} zone
 * @returns {string}
 */
export function instantText(on, at, zone) {
  return new Date(instantOf(on, at, zone)).toISOString().replace(".000Z", "+00:00");
}

/**
 * The local day of an instant, YYYY-MM-DD.
 * @param {string | number} at
 * @param {string} zone
 * @returns {string}
 */
export function localDay(at, zone) {
  return new Date(ms(at) + offsetMs(ms(at), zone)).toISOString().slice(0, 10);
}

/**
 * The local time of an instant, HH:MM.
 * @param {string | number} at
 * @param {string} zone
 * @returns {string}
 */
export function localTime(at, zone) {
  return new Date(ms(at) + offsetMs(ms(at), zone)).toISOString().slice(11, 16);
}

/**
 * Does this local time happen twice on its day?
 * @param {number} instantMs
 * @param {string} zone
 * @returns {boolean}
 */
export function isRepeated(instantMs, zone) {
  const offset = offsetMs(instantMs, zone);
  return [-HOUR_MS, HOUR_MS].some((step) => offsetMs(instantMs + step, zone) === offset - step);
}

/**
 * The time of day for reading: "22:30", or "01:30 GMT" where the clock shows it twice.
 * @param {string | number} at
 * @param {string} zone
 * @returns {string}
 */
export function formatTime(at, zone) {
  const text = localTime(at, zone);
  if (!isRepeated(ms(at), zone)) return text;
  const parts = formatFor(zone, { hour: "numeric", timeZoneName: "short" }).formatToParts(ms(at));
  return `${text} ${parts.find((part) => part.type === "timeZoneName")?.value ?? ""}`.trim();
}

/**
 * A day for reading: "Wed 25 Nov".
 * @param {string} on YYYY-MM-DD
 * @returns {string}
 */
export function formatDay(on) {
  return formatFor("UTC", { weekday: "short", day: "numeric", month: "short" }).format(ms(`${on}T00:00Z`)).replace(",", "");
}

/**
 * A date for records: "25 November 2026".
 * @param {string | null | undefined} on YYYY-MM-DD
 * @returns {string}
 */
export function formatDate(on) {
  if (!on) return "not known";
  return formatFor("UTC", { day: "numeric", month: "long", year: "numeric" }).format(ms(`${on.slice(0, 10)}T00:00Z`));
}

/**
 * An instant for reading: "Wed 25 Nov, 22:30".
 * @param {string | number | null | undefined} at
 * @param {string} zone
 * @returns {string}
 */
export function formatInstant(at, zone) {
  if (at === null || at === undefined) return "not known";
  return `${formatDay(localDay(at, zone))}, ${formatTime(at, zone)}`;
}

/**
 * The weekday's name: "Wednesday".
 * @param {string | number} at
 * @param {string} zone
 * @returns {string}
 */
export function weekdayOf(at, zone) {
  return formatFor(zone, { weekday: "long" }).format(ms(at));
}

/**
 * The day that lies some days after another.
 * @param {string} on YYYY-MM-DD
 * @param {number} days
 * @returns {string}
 */
export function addDays(on, days) {
  return new Date(ms(`${on}T00:00Z`) + days * 24 * HOUR_MS).toISOString().slice(0, 10);
}

/**
 * A length of real time: "4 h", "4 h 30 min", "30 min".
 * @param {string | number} startsAt
 * @param {string | number} endsAt
 * @returns {string}
 */
export function formatLength(startsAt, endsAt) {
  const minutes = Math.round((ms(endsAt) - ms(startsAt)) / MINUTE_MS);
  const [hours, rest] = [Math.floor(minutes / 60), minutes % 60];
  if (hours === 0) return `${rest} min`;
  return rest === 0 ? `${hours} h` : `${hours} h ${rest} min`;
}

/**
 * A period for reading: "00:30 to 05:00".
 * @param {{ starts_at: string, ends_at: string }} period
 * @param {string} zone
 * @returns {string}
 */
export function formatPeriod(period, zone) {
  return `${formatTime(period.starts_at, zone)} to ${formatTime(period.ends_at, zone)}`;
}
