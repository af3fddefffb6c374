/** Following a plan after a change: has the new one arrived? */

/** @typedef {import("../api/types.d.ts").Plan} Plan */

const SAME_AFTER_POLLS = 4;
const LATE_AFTER_POLLS = 90;

/**
 * Judge a plan read after a change against the one from before it.
 * A current plan with a new identity is the new one; one that stays current over several readings has not changed.
 * @param {Pick<Plan, "id" | "computed_at">} before
 * @param {Pick<Plan, "id" | "computed_at" | "is_current">} now
 * @param {number} polls how many times it has been read
 * @returns {"not_yet" | "new" | "same" | "late"}
 */
export function settledPlan(before, now, polls) {
  const isNewer = now.id !== before.id || now.computed_at !== before.computed_at;
  if (now.is_current && isNewer) return "new";
  if (now.is_current && polls >= SAME_AFTER_POLLS) return "same";
  return polls >= LATE_AFTER_POLLS ? "late" : "not_yet";
}
