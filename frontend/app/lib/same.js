/** Whether two values that travel as JSON say the same, whatever the order of their names. */

/**
 * A value with its names in order.
 * @param {unknown} value
 * @returns {unknown}
 */
function ordered(value) {
  if (Array.isArray(value)) return value.map(ordered);
  if (value === null || typeof value !== "object") return value;
  const names = Object.entries(value).filter(([, inner]) => inner !== undefined);
  return Object.fromEntries(names.sort(([left], [right]) => (left < right ? -1 : 1)).map(([name, inner]) => [name, ordered(inner)]));
}

/**
 * @param {unknown} left
 * @param {unknown} right
 * @returns {boolean}
 */
export function saysSame(left, right) {
  return JSON.stringify(ordered(left)) === JSON.stringify(ordered(right));
}

/**
 * A short mark of a value, equal for values that say the same; for recognising one's own, not for secrets.
 * @param {unknown} value
 * @returns {string}
 */
export function markOf(value) {
  // Two FNV-1a sums with different starts: 64 bits.
  let [left, right] = [0x811c9dc5, 0xcbf29ce4];
  for (const character of JSON.stringify(ordered(value)) ?? "") {
    const code = /** @type {number} */ (character.codePointAt(0));
    left = Math.imul(left ^ code, 0x01000193);
    right = Math.imul(right ^ (code + 0x9e37), 0x01000193);
  }
  return [left, right].map((part) => (part >>> 0).toString(16).padStart(8, "0")).join("");
}
