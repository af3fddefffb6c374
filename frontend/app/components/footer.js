/** The cautions that belong under every answer. */
import { html } from "htm/preact";
import { session } from "../state/session.js";
import { ThemeSwitch } from "./theme_switch.js";

/** Plain words, always there. */
export function Footer() {
  return html`<footer class="foot">
    <p><strong>If you notice a smell, a scorch mark or heat:</strong> stop charging, switch off at the board if it is safe
      to reach, and do not reset and carry on. Report it to your scheme.</p>
    <p>What you read here is advice worked out from facts that were entered. It is not an inspection: only a competent
      electrician can pass an installation.</p>
    <div class="foot-row"><${ThemeSwitch} />${session.value?.demo_mail && html`<a href="/demo/mail" data-outside>Demo mailbox: the e-mails this demo sends</a>`}</div>
  </footer>`;
}
