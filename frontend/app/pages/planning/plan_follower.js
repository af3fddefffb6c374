/**
 * The plan followed until it takes an entry into account.
 * "Working out the new plan" ends when the plan is current again, or honestly says that it takes longer.
 */
import { useState } from "preact/hooks";
import { getPlanBriefly } from "../../api/planning.js";
import { settledPlan } from "../../lib/replanning.js";
import { say } from "../../state/notices.js";
import { useRepeat } from "../../state/repeat.js";
import { ownHouseholdId } from "../../state/session.js";

/** @typedef {import("../../api/types.d.ts").Plan} Plan */

/** A home is planned anew in a moment: asked often at first, then by the second. */
const SOON_MS = 25;
const SOON_FOR_MS = 3_000;
const POLL_MS = 1_000;

/**
 * @param {Plan} before the plan shown when the entry was sent
 * @param {(plan: Plan, etag: string | null) => void} onPlan
 * @returns {{ isWorking: boolean, start: () => void }}
 */
export function usePlanFollower(before, onPlan) {
  const [since, setSince] = useState(0);
  const [isSoon, setSoon] = useState(true);
  useRepeat(async () => {
    const { data, etag } = await getPlanBriefly(ownHouseholdId());
    const waitedMs = Date.now() - since;
    setSoon(waitedMs < SOON_FOR_MS);
    const settled = settledPlan(before, data, waitedMs);
    if (settled === "not_yet") return false;
    onPlan(data, etag);
    setSince(0);
    say(SETTLED_WORDS[settled]);
    return true;
  }, isSoon ? SOON_MS : POLL_MS, since > 0);
  return {
    isWorking: since > 0,
    start: () => {
      setSoon(true);
      setSince(Date.now());
    },
  };
}

const SETTLED_WORDS = {
  new: "The new plan is ready.",
  same: "The plan takes your entry into account; it stays as it was.",
  late: "The new plan takes longer than usual. The one shown is from before your entry.",
};
