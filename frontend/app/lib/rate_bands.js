/**
 * Drafts of a tariff version, and which band covers each half-hour of a typical day, for the editor's picture.
 * The service alone decides whether a version is sound; this only shows what has been entered so far.
 */
import { MONTHS } from "./wording.js";

/** @typedef {import("../api/types.d.ts").Sheet} Sheet */
/** @typedef {import("../api/types.d.ts").Band} Band */
/** @typedef {import("../api/types.d.ts").BandWindow} BandWindow */
/** @typedef {import("../api/types.d.ts").DayKind} DayKind */
/** @typedef {import("../api/types.d.ts").VersionEntry} VersionEntry */
/** @typedef {import("../api/types.d.ts").Version} Version */
/** @typedef {import("../api/types.d.ts").TariffKind} TariffKind */

/** @type {DayKind[]} */
export const DAY_KINDS = ["weekday", "weekend", "bank_holiday"];
export const ALL_MONTHS = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12];
const DAY_HALF_HOURS = 48;

/** @returns {BandWindow} */
export function newWindow() {
  return { starts_at: "00:00", ends_at: "05:00", day_kinds: [...DAY_KINDS], months: [...ALL_MONTHS] };
}

/**
 * @param {boolean} isOtherwise
 * @returns {Band}
 */
export function newBand(isOtherwise) {
  return {
    name: isOtherwise ? "All other times" : "",
    price_pence_per_kwh: "",
    is_otherwise: isOtherwise,
    windows: isOtherwise ? [] : [newWindow()],
  };
}

/**
 * @param {TariffKind} kind
 * @returns {Sheet}
 */
export function newSheet(kind) {
  return { region: null, payment: null, standing_pence_per_day: "", bands: kind === "banded" ? [newBand(true)] : [] };
}

/**
 * The entries a new draft starts with: those of the version it follows, or one empty sheet.
 * @param {TariffKind} kind
 * @param {Version | null} like
 * @param {string} validFromOn YYYY-MM-DD
 * @returns {VersionEntry}
 */
export function newDraft(kind, like, validFromOn) {
  if (!like) return { valid_from_on: validFromOn, label: "", vat_percent: "5", vat_included: true, sheets: [newSheet(kind)] };
  return { ...entryOf(like), valid_from_on: validFromOn, label: "" };
}

/**
 * The editable part of a version.
 * @param {Version} version
 * @returns {VersionEntry}
 */
export function entryOf(version) {
  const { valid_from_on, label, vat_percent, vat_included, sheets } = version;
  return { valid_from_on, label, vat_percent, vat_included, sheets };
}

/**
 * Minutes after midnight of "HH:MM"; "24:00" is the end of the day.
 * @param {string} time
 * @returns {number}
 */
export function minutesOf(time) {
  const [hours, minutes] = time.split(":").map(Number);
  return hours * 60 + minutes;
}

/**
 * The half-hours of a day that a window covers; one that crosses midnight is shown as on days of one kind in a row.
 * @param {BandWindow} window
 * @returns {number[]}
 */
export function windowHalfHours(window) {
  const first = minutesOf(window.starts_at) / 30;
  let end = minutesOf(window.ends_at) / 30;
  if (!Number.isInteger(first) || !Number.isInteger(end)) return [];
  if (end <= first) end += DAY_HALF_HOURS;
  return Array.from({ length: end - first }, (_, step) => (first + step) % DAY_HALF_HOURS);
}

/**
 * For each half-hour of a typical day, the places of the bands that claim it; with none, the otherwise band if there is one.
 * @param {Band[]} bands
 * @param {DayKind} dayKind
 * @param {number} month 1..12
 * @returns {number[][]} 48 lists
 */
export function coverage(bands, dayKind, month) {
  /** @type {number[][]} */
  const claims = Array.from({ length: DAY_HALF_HOURS }, () => []);
  bands.forEach((band, place) => {
    if (band.is_otherwise) return;
    for (const window of band.windows) {
      if (!window.day_kinds.includes(dayKind) || !window.months.includes(month)) continue;
      for (const half of windowHalfHours(window)) if (!claims[half].includes(place)) claims[half].push(place);
    }
  });
  const otherwise = bands.findIndex((band) => band.is_otherwise);
  return claims.map((places) => (places.length === 0 && otherwise >= 0 ? [otherwise] : places));
}

/**
 * Runs of half-hours with the same claims, in words of the clock.
 * @param {number[][]} claims as coverage() returns
 * @returns {{ first: number, end: number, places: number[] }[]}
 */
export function coverageRuns(claims) {
  /** @type {{ first: number, end: number, places: number[] }[]} */
  const runs = [];
  claims.forEach((places, half) => {
    const last = runs.at(-1);
    if (last && last.places.join() === places.join()) last.end = half + 1;
    else runs.push({ first: half, end: half + 1, places });
  });
  return runs;
}

/**
 * The clock time of a half-hour's place: 1 -> "00:30", 48 -> "24:00".
 * @param {number} half
 * @returns {string}
 */
export function halfHourTime(half) {
  return `${String(Math.floor(half / 2)).padStart(2, "0")}:${half % 2 === 0 ? "00" : "30"}`;
}

/**
 * What a sheet is for: its region and payment method, or "all homes".
 * @param {Sheet} sheet
 * @returns {string}
 */
export function sheetName(sheet) {
  const parts = [sheet.region && `region ${sheet.region}`, sheet.payment && `paid by ${sheet.payment}`].filter(Boolean);
  return parts.length === 0 ? "All regions and payment methods" : parts.join(", ").replace(/^./, (letter) => letter.toUpperCase());
}

/**
 * A choice of several with one item turned on or off, in the order of all.
 * @template T
 * @param {T[]} all
 * @param {T[]} chosen
 * @param {T} item
 * @returns {T[]}
 */
export function toggled(all, chosen, item) {
  return all.filter((one) => (one === item) !== chosen.includes(one));
}

/**
 * Months in a few words.
 * @param {number[]} months
 * @returns {string}
 */
export function monthWords(months) {
  if (months.length === 0) return "none";
  if (months.length === ALL_MONTHS.length) return "all year";
  return months.map((month) => MONTHS[month - 1]).join(", ");
}
