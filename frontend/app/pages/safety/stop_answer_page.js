/** The stop answer that was shown last on this device; it needs no connection. */
import { html } from "htm/preact";
import { Empty } from "../../components/empty.js";
import { Page } from "../../components/page.js";
import { keptStopAnswer } from "../../lib/stop_answer.js";
import { formatInstant } from "../../lib/time.js";
import { ownHouseholdId } from "../../state/session.js";
import { StopAnswer } from "./check/stop_answer.js";
import { useStop } from "./check/use_stop.js";

/** What to do now, read again. */
export function StopAnswerPage() {
  const stop = useStop(ownHouseholdId());
  const answer = stop.answer ?? keptStopAnswer(ownHouseholdId());
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
  if (!answer) {
    return html`<${Page} title="What to do now" class="page-member">
      <${Empty} title="No stop has been reported on this device"><p>Something wrong? <a href="/incident">Report it now</a>. How everything stands: <a href="/outlets">is it safe to use?</a></p></${Empty}></${Page}>`;
  }
  return html`<${Page} title="What to do now" class="page-member" lead=${`As it was shown on ${formatInstant(answer.shownAt, zone)}.`}>
    <${StopAnswer} answer=${answer} stop=${stop} /></${Page}>`;
}
