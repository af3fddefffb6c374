/**
 * Reporting what stops use: what to do now is shown at once, whether or not the report has reached the service, and
 * shown again after a reload until somebody says that they read it; a report without an answer is sent again then.
 */
import { useEffect, useState } from "preact/hooks";
import { sendStopReport } from "../../../api/checks.js";
import { newKey } from "../../../api/client.js";
import { keepStopAnswer, noteStopAnswerRead, stopAnswerBefore, stopAnswerOf, unreadStopAnswer } from "../../../lib/stop_answer.js";
import { asProblem } from "../../../lib/problem.js";
import { useSubmission } from "../../../state/submission.js";

/** @typedef {import("../../../api/check_types.d.ts").StopAnswerShown} StopAnswerShown */

const REFUSED = [400, 404, 409, 422];

/** @param {string} householdId */
export function useStop(householdId) {
  const [answer, setAnswer] = useState(/** @returns {StopAnswerShown | null} */ () => unreadStopAnswer(householdId));
  const submission = useSubmission();
  const show = (/** @type {StopAnswerShown} */ next) => {
    keepStopAnswer(next);
    setAnswer(next);
  };
  const send = (/** @type {StopAnswerShown} */ shown) => submission.run(async () => {
    const { unsent } = shown;
    if (!unsent) return;
    try {
      const { data } = await sendStopReport(unsent);
      show(stopAnswerOf(householdId, shown, data.do_now, data.reports ?? (data.report ? [data.report] : [])));
    } catch (thrown) {
      // What the service refuses it refuses again: the page says so, and the report is not sent for ever.
      if (REFUSED.includes(asProblem(thrown).status)) show({ ...shown, unsent: null });
      throw thrown;
    }
  });
  const retry = () => {
    if (answer?.unsent) send(answer);
  };
  useEffect(() => {
    retry();
  }, []);
  useEffect(() => {
    // Fetched now, so that its page opens later without a connection too.
    if (answer) import("../stop_answer_page.js").catch(() => {});
  }, [answer !== null]);
  // The report goes out by itself once there is a connection again.
  useEffect(() => {
    if (submission.problem?.status !== 0) return undefined;
    addEventListener("online", retry);
    return () => removeEventListener("online", retry);
  }, [submission.problem]);
  return {
    answer, submission, retry,
    /**
     * @param {import("../../../api/check_types.d.ts").SignTable} table
     * @param {string} sign the sign whose steps are shown until the service has answered
     * @param {string} path
     * @param {unknown} body
     */
    start: (table, sign, path, body) => {
      const shown = stopAnswerBefore(householdId, table, sign, { path, body, key: newKey() });
      show(shown);
      return send(shown);
    },
    read: () => {
      noteStopAnswerRead(householdId);
      setAnswer((shown) => shown && { ...shown, isRead: true });
    },
  };
}
