/** The one answer in large letters. */
import { html } from "htm/preact";
import { headlineWords } from "../../lib/headline_words.js";

/**
 * @param {{ answer: import("../../lib/tonight.js").Answer, plan: import("../../api/types.d.ts").Plan, nowMs: number, isWorking: boolean }} props
 */
export function Headline({ answer, plan, nowMs, isWorking }) {
  const { main, below } = headlineWords(answer, plan, nowMs);
  return html`<section class=${`headline headline-${answer.kind}`} aria-label="Tonight's answer">
    <p class="headline-main">${main}</p>
    ${below.map((line) => html`<p class="headline-below" key=${line}>${line}</p>`)}
    <p class="working-out" role="status">${isWorking ? "Working out the new plan…" : ""}</p>
  </section>`;
}
