/** A line of text with its telephone numbers found, so that a tap rings them. */

/** @typedef {{ text: string, number: string | null }} Part number: as it is dialled, null for plain text */

/**
 * @param {string} line
 * @param {string[]} numbers as they stand in the line
 * @returns {Part[]}
 */
export function phoneParts(line, numbers) {
  const known = numbers.filter(Boolean).sort((left, right) => right.length - left.length);
  if (known.length === 0) return [{ text: line, number: null }];
  const pattern = new RegExp(`(?<![\\d])(${known.map((number) => number.replace(/[^\d ]/g, "\\$&")).join("|")})(?![\\d])`, "g");
  return line.split(pattern).filter((text) => text !== "")
    .map((text) => ({ text, number: known.includes(text) ? text.replaceAll(" ", "") : null }));
}
