/** The words an administrator reads for kinds and states, in one place; the screens add no others. */

/** @type {Record<import("../api/types.d.ts").RunReason, string>} */
export const RUN_WORDS = {
  tariff_change: "Tariff change",
  prices_arrived: "New half-hour prices",
  new_day: "A new day",
  household_change: "A home's entries changed",
};

/** @type {Record<import("../api/types.d.ts").DayKind, string>} */
export const DAY_KIND_WORDS = { weekday: "Weekdays", weekend: "Weekends", bank_holiday: "Bank holidays" };

/** @type {Record<import("../api/types.d.ts").TariffKind, string>} */
export const TARIFF_KIND_WORDS = { banded: "Bands by time of day", half_hourly: "A price for each half-hour" };

/** @type {Record<import("../api/types.d.ts").TariffClock, string>} */
export const CLOCK_WORDS = { local: "Local time", gmt: "GMT all year" };

/** @type {Record<import("../api/types.d.ts").Nation, string>} */
export const NATION_WORDS = {
  england: "England",
  wales: "Wales",
  scotland: "Scotland",
  northern_ireland: "Northern Ireland",
};

/** @type {Record<string, string>} */
export const OUTLET_KIND_WORDS = { socket_13a: "13 A socket-outlet", charging_point: "Charging point" };

/** @type {Record<string, string>} */
export const LEAD_KIND_WORDS = { mode_2: "Portable lead with control box", mode_3_cable: "Loose charging cable" };

/** @type {Record<string, string>} */
export const PLACE_WORDS = { indoors: "Indoors", outdoors: "Outdoors", not_known: "Not known" };

/** @type {Record<string, string>} */
export const EARTHING_WORDS = { tn_s: "TN-S", tn_c_s: "TN-C-S", tt: "TT", not_known: "Not known" };

/** @type {Record<string, string>} */
export const YES_NO_WORDS = { yes: "Yes", no: "No", not_known: "Not known" };

/** @type {Record<string, string>} */
export const RUN_KIND_WORDS = {
  sub_main: "Sub-main", board: "Board", ring: "Ring", radial: "Radial", spur: "Spur", fused_spur: "Fused spur",
};

/** @type {Record<string, string>} */
export const TENURE_WORDS = { owner: "Owned by us", private_rented: "Rented from a private landlord", social_rented: "Rented from a council or housing association", not_known: "Not known" };

/** @type {Record<string, string>} */
export const DEVICE_WORDS = {
  mcb_b: "Circuit breaker, type B", mcb_c: "Circuit breaker, type C", mcb_d: "Circuit breaker, type D", fuse_rewireable: "Fuse with fuse wire",
  fuse_cartridge: "Cartridge fuse", plug_fuse: "Fuse as in a plug", not_known: "Not known",
};

/** @type {Record<string, string>} */
export const RCD_WORDS = { none: "None", ac: "Type AC", a: "Type A", f: "Type F", b: "Type B", not_known: "Not known" };

/** @type {Record<string, string>} */
export const CABLE_WORDS = { flat_twin_and_earth: "Flat twin and earth", armoured: "Armoured", other: "Another kind", not_known: "Not known" };

/** By the reference methods of the cable tables. @type {Record<string, string>} */
export const INSTALLED_WORDS = {
  "": "Not known", C: "On a surface or in plaster", A: "In conduit in an insulated wall", 100: "Above a ceiling, thin insulation", 101: "Above a ceiling, thick insulation",
  102: "In an insulated stud wall, touching it", 103: "In an insulated stud wall, not touching it", D: "Buried", E: "In free air",
};

/** @type {Record<string, string>} */
export const LOAD_WORDS = {
  lighting: "Lighting circuits", sockets: "Socket circuits", cooker: "Electric cooker, hob or oven", shower: "Electric shower", immersion: "Immersion heater",
  storage_heating: "Storage or floor heating", room_heating: "Electric room heaters", heat_pump: "Heat pump", other: "Another large load",
};

/** @type {Record<string, string>} */
export const CONTROL_WORDS = { not_known: "Not known", timer: "One start and one stop a night", schedule: "Any half-hours" };

/** @type {Record<string, string>} */
export const CONSENT_WORDS = { yes: "Agreed", no: "Refused", not_needed: "Not needed", not_known: "Not known" };

/** @type {Record<string, string>} */
export const CONSENT_KIND_WORDS = { landlord: "Landlord", freeholder: "Freeholder", insurer: "Insurer" };

/** @type {Record<string, string>} */
export const CODE_WORDS = {
  C1: "C1: danger present",
  C2: "C2: potentially dangerous",
  C3: "C3: improvement recommended",
  FI: "FI: further investigation needed",
};

export const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/**
 * Turn a machine word without its own entry into readable text: "given_up" -> "Given up".
 * @param {string} word
 * @returns {string}
 */
export function readable(word) {
  const text = word.replaceAll("_", " ").replaceAll(".", " ");
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/**
 * A table of words as choices for a select.
 * @param {Record<string, string>} words
 * @returns {{ value: string, label: string }[]}
 */
export function choices(words) {
  return Object.entries(words).map(([value, label]) => ({ value, label }));
}
