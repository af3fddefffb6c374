/** A clearance as a word with a mark of its own shape; the colour only repeats what they say. */
import { html } from "htm/preact";
import { CLEARANCE_WORDS } from "../lib/plan_words.js";

/** @typedef {import("../api/types.d.ts").ClearanceWord} ClearanceWord */

/** @type {Record<ClearanceWord, string>} a path in a 16 by 16 box */
const MARKS = {
  fit_to_use: "M3 8.5 6.5 12 13 4.5",
  use_with_limits: "M3 5h10M3 11h6",
  do_not_use: "M4 4l8 8M12 4l-8 8",
  not_known: "M5.5 6a2.5 2.5 0 1 1 3.6 2.2c-.8.4-1.1.9-1.1 1.6M8 12.4v.2",
};

/** @param {{ clearance: ClearanceWord }} props */
export function ClearanceTag({ clearance }) {
  return html`<span class=${`tag tag-${clearance}`}>
    <svg class="mark" viewBox="0 0 16 16" width="14" height="14" aria-hidden="true"><path d=${MARKS[clearance]} /></svg>
    ${CLEARANCE_WORDS[clearance]}
  </span>`;
}
