/** Doing something again and again until it says it is finished; stops with the component. */
import { useEffect, useRef } from "preact/hooks";

/**
 * @param {() => Promise<boolean>} step returns true when finished
 * @param {number} everyMs
 * @param {boolean} isOn
 */
export function useRepeat(step, everyMs, isOn) {
  const latest = useRef(step);
  latest.current = step;
  useEffect(() => {
    if (!isOn) return undefined;
    let isStopped = false;
    let timer = /** @type {ReturnType<typeof setTimeout> | undefined} */ (undefined);
    const turn = async () => {
      const isFinished = await latest.current().catch(() => false);
      if (!isStopped && !isFinished) timer = setTimeout(turn, everyMs);
    };
    timer = setTimeout(turn, everyMs);
    return () => {
      isStopped = true;
      clearTimeout(timer);
    };
  }, [isOn, everyMs]);
}
