/** What a page shows while it loads, when loading fails, and when the data is there. */
import { html } from "htm/preact";
import { ProblemNote } from "./problem_note.js";
import { Skeleton } from "./skeleton.js";

/**
 * @param {{
 *   of: import("../state/resource.js").Resource<any>,
 *   lines?: number,
 *   size?: "line" | "card" | "chart",
 *   children: (data: any) => unknown,
 * }} props
 */
export function Loaded({ of, lines = 3, size = "card", children }) {
  if (of.data !== null) {
    return html`${of.problem && html`<${ProblemNote} problem=${of.problem} retry=${of.reload} />`}${children(of.data)}`;
  }
  if (of.problem) return html`<${ProblemNote} problem=${of.problem} retry=${of.reload} />`;
  return html`<${Skeleton} lines=${lines} size=${size} />`;
}
