/** Following a plan after a change: has the new one arrived? */

/** @typedef {import("../api/types.d.ts").Plan} Plan */

const SAME_AFTER_MS = 4_000;
const LATE_AFTER_MS = 90_000;

/**
 * Judge a plan read after a change against the one from before it.
 * A current plan with a new identity is the new one; one that stays current over several readings has not changed.
 * @param {Pick<Plan, "id" | "computed_at">} before
 * @param {Pick<Plan, "id" | "computed_at" | "is_current">} now
 * @param {number} waitedMs since the change was sent
 * @returns {"not_yet" | "new" | "same" | "late"}
 */
export function settledPlan(before, now, waitedMs) {
  const isNewer = now.id !== before.id || now.computed_at !== before.computed_at;
  if (now.is_current && isNewer) return "new";
  if (now.is_current && waitedMs >= SAME_AFTER_MS) return "same";
  return waitedMs >= LATE_AFTER_MS ? "late" : "not_yet";
}
