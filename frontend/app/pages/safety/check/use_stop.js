/** Reporting what stops use: what to do now is shown at once, whether or not the report has reached the service. */
import { useEffect, useRef, useState } from "preact/hooks";
import { keepStopAnswer, stopAnswerBefore, stopAnswerOf } from "../../../lib/stop_answer.js";
import { useSubmission } from "../../../state/submission.js";

/** @typedef {import("../../../api/check_types.d.ts").StopAnswerShown} StopAnswerShown */
/** @typedef {import("../../../api/check_types.d.ts").SafetyReport} SafetyReport */
/** @typedef {(key: string) => Promise<{ doNow: string[], reports: SafetyReport[] }>} Post */

/**
 * @param {string} householdId
 * @param {import("../../../api/check_types.d.ts").SignTable} table
 */
export function useStop(householdId, table) {
  const [answer, setAnswer] = useState(/** @type {StopAnswerShown | null} */ (null));
  const post = useRef(/** @type {Post | null} */ (null));
  const submission = useSubmission();
  const show = (/** @type {StopAnswerShown} */ next) => {
    keepStopAnswer(next);
    // Fetched now, so that its page opens later without a connection too.
    import("../stop_answer_page.js").catch(() => {});
    setAnswer(next);
  };
  const send = () => submission.run(async (key) => {
    if (!post.current) return;
    const { doNow, reports } = await post.current(key);
    post.current = null;
    show(stopAnswerOf(householdId, table, doNow, reports));
  });
  // The report goes out by itself once there is a connection again.
  useEffect(() => {
    if (submission.problem?.status !== 0) return undefined;
    addEventListener("online", send);
    return () => removeEventListener("online", send);
  }, [submission.problem]);
  return {
    answer, submission, retry: send,
    /**
     * @param {string} sign the sign whose steps are shown until the service has answered
     * @param {Post} how
     */
    start: (sign, how) => {
      post.current = how;
      show(stopAnswerBefore(householdId, table, sign));
      return send();
    },
  };
}
