/** What to do now, as this device keeps it: shown where the service cannot even be asked who is signed in. */
import { html } from "htm/preact";
import { lastStopAnswer, unreadStopAnswer } from "../../lib/stop_answer.js";
import { formatInstant } from "../../lib/time.js";
import { DoNow } from "./check/stop_answer.js";

/** Nothing where the last answer was read, and its report sent. */
export function KeptStop() {
  const kept = lastStopAnswer();
  const answer = kept && unreadStopAnswer(kept.householdId);
  if (!answer) return null;
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
  return html`<div class="stop-answer"><${DoNow} answer=${answer} />
    <p>As it was shown on ${formatInstant(answer.shownAt, zone)}. ${answer.unsent
      ? html`<strong>Your report has not been sent: nobody has been told so far.</strong> Tell the others at home yourself, and open this page again where there is a connection.`
      : "Your report is recorded."}</p></div>`;
}
