/** The time now, moving on with the clock so that what is shown never goes stale on an open page. */
import { useEffect, useState } from "preact/hooks";

/**
 * @param {number} everyMs
 * @returns {number} ms since the epoch
 */
export function useNow(everyMs) {
  const [nowMs, setNow] = useState(Date.now());
  useEffect(() => {
    const timer = setInterval(() => setNow(Date.now()), everyMs);
    return () => clearInterval(timer);
  }, [everyMs]);
  return nowMs;
}
