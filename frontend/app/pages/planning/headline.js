/** The one answer in large letters; where an outlet may not be used, with the button to the next step. */
import { html } from "htm/preact";
import { Later } from "../../components/later.js";
import { headlineWords } from "../../lib/headline_words.js";

const loadStep = () => import("./headline_step.js").then((part) => part.HeadlineStep);

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
  const isStopped = answer.kind === "stopped";
  const isHeld = isStopped || answer.kind === "barred";
  return html`<section class=${`headline headline-${answer.kind}`} aria-label="Tonight's answer">
    <p class="headline-main">${main}</p>
    ${below.map((line) => html`<p class="headline-below" key=${line}>${line}</p>`)}
    ${isHeld && html`<${Later} load=${loadStep} props=${{ isStopped, plan, home }} />`}
    <p class="working-out" role="status">${isWorking ? "Working out the new plan…" : ""}</p>
  </section>`;
}
