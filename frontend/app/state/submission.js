/** Sending a change: busy while it runs, its problem afterwards, one idempotency key for all tries of one entry. */
import { useRef, useState } from "preact/hooks";
import { newKey } from "../api/client.js";
import { asProblem } from "../lib/problem.js";

/**
 * @typedef {object} Submission
 * @property {boolean} isBusy
 * @property {import("../lib/problem.js").Problem | null} problem
 * @property {(send: (key: string) => Promise<void>) => Promise<boolean>} run true when it succeeded
 * @property {() => void} clear
 */

/**
 * @param {{ onStale?: () => void }} [options] onStale: the state changed elsewhere (412); load it again
 * @returns {Submission}
 */
export function useSubmission({ onStale } = {}) {
  const [isBusy, setBusy] = useState(false);
  const [problem, setProblem] = useState(/** @type {import("../lib/problem.js").Problem | null} */ (null));
  const key = useRef("");
  const running = useRef(false);
  const run = async (/** @type {(key: string) => Promise<void>} */ send) => {
    if (running.current) return false;
    running.current = true;
    key.current ||= newKey();
    setBusy(true);
    setProblem(null);
    try {
      await send(key.current);
      key.current = "";
      return true;
    } catch (thrown) {
      const found = asProblem(thrown);
      // No answer: the try may have arrived, so the next one keeps its key. Any answer ends this try.
      if (found.status !== 0) key.current = "";
      setProblem(found);
      if (found.status === 412) onStale?.();
      return false;
    } finally {
      running.current = false;
      setBusy(false);
    }
  };
  return { isBusy, problem, run, clear: () => setProblem(null) };
}
