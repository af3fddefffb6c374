/** Change one place of a nested value without touching the original; paths are dotted, as the service's pointers. */

/**
 * Replace the value at a path by the result of a function of it.
 * @template T
 * @param {T} whole
 * @param {string} path "sheets.0.bands.1.name"
 * @param {(value: any) => any} change
 * @returns {T}
 */
export function changeIn(whole, path, change) {
  if (path === "") return change(whole);
  const [head, ...rest] = path.split(".");
  if (Array.isArray(whole)) {
    const copy = [...whole];
    copy[Number(head)] = changeIn(copy[Number(head)], rest.join("."), change);
    return /** @type {any} */ (copy);
  }
  const source = /** @type {Record<string, any>} */ (whole);
  return /** @type {any} */ ({ ...source, [head]: changeIn(source[head], rest.join("."), change) });
}

/**
 * Put a value at a path.
 * @template T
 * @param {T} whole
 * @param {string} path
 * @param {any} value
 * @returns {T}
 */
export function setIn(whole, path, value) {
  return changeIn(whole, path, () => value);
}

/**
 * Add an item at the end of the list at a path.
 * @template T
 * @param {T} whole
 * @param {string} path
 * @param {any} item
 * @returns {T}
 */
export function appendIn(whole, path, item) {
  return changeIn(whole, path, (list) => [...list, item]);
}

/**
 * Take the item at a path out of its list.
 * @template T
 * @param {T} whole
 * @param {string} path ends in the item's place
 * @returns {T}
 */
export function removeIn(whole, path) {
  const parts = path.split(".");
  const place = Number(parts.pop());
  return changeIn(whole, parts.join("."), (list) => list.filter((/** @type {any} */ _, /** @type {number} */ index) => index !== place));
}
