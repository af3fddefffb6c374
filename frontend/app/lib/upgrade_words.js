/** The words that people read for works, their payback and a home's place in the list. */

/** @typedef {import("../api/upgrade_types.d.ts").UpgradeMoney} UpgradeMoney */

/** @type {Record<import("../api/upgrade_types.d.ts").Work, string>} */
export const WORK_WORDS = {
  ev_marked_socket: "Socket marked for cars",
  dedicated_circuit: "Socket marked for cars, on a circuit of its own",
  point_untethered: "7 kW charging point, socket for a loose cable",
  point_tethered: "7 kW charging point, cable of its own",
};

/** @type {Record<import("../api/upgrade_types.d.ts").Place, string>} */
export const PLACE_WORDS = {
  safety: "Safety first",
  chosen: "Chosen",
  not_reached: "Not reached",
  no_gain: "Nothing gained",
  not_known: "Not known",
  not_reckoned: "Not reckoned yet",
};

/** How sure a note is. @type {Record<string, string>} */
export const STANDING_WORDS = {
  published: "published",
  two_sources: "two sources agree",
  from_memory: "from memory",
  assumed: "assumed",
  operator: "recorded by the operator",
  not_known: "not known",
  own_rule: "rule of this service",
};

/**
 * When a work pays back, for a table: "5.6 years", "never", "after its life", "not known".
 * @param {UpgradeMoney} option
 * @returns {string}
 */
export function paybackWords({ payback_years: years, pays_back: pays }) {
  if (pays === null) return "not known";
  if (years === null) return "never";
  const text = Number(years) > 100 ? "more than 100 years" : `${(Math.round(Number(years) * 10) / 10).toFixed(1)} years`;
  return pays ? text : `${text}, too late`;
}

/**
 * Where a cost comes from, "" for a figure that has a source.
 * @param {UpgradeMoney} option
 * @returns {string}
 */
export function costNote({ is_quoted: isQuoted, is_cost_assumed: isAssumed, cost_pence: cost }) {
  if (cost === null) return "ask for a quote";
  return isQuoted ? "your quote" : isAssumed ? "assumed" : "";
}

/**
 * Pounds as typed, as whole pence for the service: "1,150.50" -> "115050"; what is no amount stays as it is.
 * @param {string} text
 * @returns {string}
 */
export function penceOf(text) {
  const plain = text.replace(/[£,\s]/g, "");
  const match = /^(\d+)(?:\.(\d{1,2}))?$/.exec(plain);
  if (!match) return text.trim();
  return String(Number(match[1]) * 100 + Number((match[2] ?? "").padEnd(2, "0")));
}
