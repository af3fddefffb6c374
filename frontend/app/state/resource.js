/** Reading something from the service into a component, and reading it again. */
import { useEffect, useRef, useState } from "preact/hooks";
import { asProblem } from "../lib/problem.js";

/**
 * @template T
 * @typedef {object} Resource
 * @property {T | null} data kept while it is read again
 * @property {string | null} etag
 * @property {import("../lib/problem.js").Problem | null} problem
 * @property {boolean} isLoading
 * @property {() => void} reload
 * @property {(data: T, etag?: string | null) => void} put show a newer state that a change has returned
 */

/**
 * Read with a function, again whenever a key changes.
 * @template T
 * @param {(reading: { signal: AbortSignal }) => Promise<import("../api/types.d.ts").Answer<T>>} load
 * @param {unknown[]} keys
 * @returns {Resource<T>}
 */
export function useResource(load, keys) {
  const [turn, setTurn] = useState(0);
  const [state, setState] = useState(/** @type {Omit<Resource<T>, "reload" | "put">} */ ({
    data: null, etag: null, problem: null, isLoading: true,
  }));
  const latest = useRef(load);
  latest.current = load;
  useEffect(() => {
    const stop = new AbortController();
    setState((old) => ({ ...old, isLoading: true }));
    latest.current({ signal: stop.signal }).then(
      ({ data, etag }) => !stop.signal.aborted && setState({ data, etag, problem: null, isLoading: false }),
      (thrown) => !stop.signal.aborted && setState((old) => ({ ...old, problem: asProblem(thrown), isLoading: false })),
    );
    return () => stop.abort();
  }, [...keys, turn]);
  return {
    ...state,
    reload: () => setTurn((old) => old + 1),
    put: (data, etag = null) => setState({ data, etag, problem: null, isLoading: false }),
  };
}
