/** The one answer in large letters. */
import { html } from "htm/preact";
import { headlineWords } from "../../lib/headline_words.js";

/**
 * @param {{
 *   answer: import("../../lib/tonight.js").Answer,
 *   plan: import("../../api/types.d.ts").Plan,
 *   home: import("../../api/types.d.ts").Household | null,
 *   nowMs: number,
 *   isWorking: boolean,
 * }} props
 */
export function Headline({ answer, plan, home, nowMs, isWorking }) {
  const { main, below } = headlineWords(answer, plan, nowMs, home);
  const isHeld = answer.kind === "barred" || answer.kind === "stopped";
  return html`<section class=${`headline headline-${answer.kind}`} aria-label="Tonight's answer">
    <p class="headline-main">${main}</p>
    ${below.map((line) => html`<p class="headline-below" key=${line}>${line}</p>`)}
    ${isHeld && html`<p class="headline-below"><a href="/outlets">How your outlets stand</a></p>`}
    <p class="working-out" role="status">${isWorking ? "Working out the new plan…" : ""}</p>
  </section>`;
}
