/** The text of a safety notice as paragraphs and lists: a line that begins with a dash is of a list. */

/** @typedef {{ kind: "words", text: string } | { kind: "list", lines: string[] }} NoticePart */

/**
 * @param {string} text
 * @returns {NoticePart[]}
 */
export function noticeParts(text) {
  /** @type {NoticePart[]} */
  const parts = [];
  for (const line of text.split("\n")) {
    const last = parts.at(-1);
    if (!line.startsWith("- ")) parts.push({ kind: "words", text: line });
    else if (last?.kind === "list") last.lines.push(line.slice(2));
    else parts.push({ kind: "list", lines: [line.slice(2)] });
  }
  return parts.filter((part) => part.kind === "list" || part.text.trim() !== "");
}
