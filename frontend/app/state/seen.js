/** Reading with a copy kept on the device, which stands in when the service gives no answer. */
import { asProblem } from "../lib/problem.js";
import { keptStore } from "./kept_store.js";
import { useResource } from "./resource.js";

/**
 * @template T
 * @typedef {object} Seen
 * @property {T} view
 * @property {boolean} isFromMemory the service gave no answer; this is what it said last time
 */

/**
 * Read, and keep what was read under a key; without an answer give what was kept. A link that is dead takes its copy with it.
 * @template T
 * @param {string} key
 * @param {() => Promise<import("../api/types.d.ts").Answer<T>>} load
 * @returns {Promise<import("../api/types.d.ts").Answer<Seen<T>>>}
 */
export async function readSeen(key, load) {
  const store = await keptStore();
  try {
    const { data, etag, status } = await load();
    await store.put(key, data);
    return { data: { view: data, isFromMemory: false }, etag, status };
  } catch (thrown) {
    const { status } = asProblem(thrown);
    if (status === 404 || status === 410) await store.remove(key);
    const copy = status === 0 ? await store.get(key) : undefined;
    if (copy === undefined) throw thrown;
    return { data: { view: copy, isFromMemory: true }, etag: null, status };
  }
}

/**
 * Forget every copy whose key ends so: addresses of homes stay on no phone once the link is dead or the home recorded.
 * @param {string} ending
 */
export async function forgetSeen(ending) {
  const store = await keptStore();
  for (const key of await store.keys("seen/")) if (key.endsWith(ending)) await store.remove(key);
}

/**
 * @template T
 * @param {string} key
 * @param {() => Promise<import("../api/types.d.ts").Answer<T>>} load
 * @returns {import("./resource.js").Resource<Seen<T>>}
 */
export function useSeen(key, load) {
  return useResource(() => readSeen(key, load), [key]);
}
