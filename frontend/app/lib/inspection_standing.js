/** Whether a recorded inspection counts, and if not, why: in a few words. */

/** @typedef {Partial<import("../api/visit_types.d.ts").RecordedInspection>} Recorded */

/**
 * @param {Recorded} inspection
 * @returns {string}
 */
export function inspectionStanding({ source, is_partial: isPartial, superseded_at: superseded, accepted_at: accepted, refused_at: refused, refusal_reason: reason, file_id: file }) {
  if (superseded) return "corrected by a later one: kept, does not count";
  if (source === "typed" || source === "import") return `claimed, ${file ? "not recorded by the electrician" : "document missing"}: sets a recheck, does not clear the outlet`;
  if (refused) return `refused: ${reason || "no reason given"}`;
  if (isPartial) return "certificate recorded, readings still to come: does not count yet";
  if (!file) return "document missing: does not count";
  if (accepted) return "accepted";
  return "waits for a safety officer: does not count yet";
}
