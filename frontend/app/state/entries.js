/** The entries of a form: they start from what is stored, and start anew when that changes (not when it is drawn again). */
import { useEffect, useRef, useState } from "preact/hooks";

/**
 * @template T
 * @param {T} stored
 * @returns {[T, (next: T | ((old: T) => T)) => void]}
 */
export function useEntries(stored) {
  const [entries, setEntries] = useState(stored);
  const text = JSON.stringify(stored);
  const startedFrom = useRef(text);
  useEffect(() => {
    if (startedFrom.current === text) return;
    startedFrom.current = text;
    setEntries(stored);
  }, [text]);
  return [entries, setEntries];
}
