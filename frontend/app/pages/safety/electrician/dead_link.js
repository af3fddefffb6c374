/** What a link that opens nothing says: why that may be, and whom to ask. */
import { html } from "htm/preact";
import { Page } from "../../../components/page.js";
import { sentence } from "../../../lib/problem.js";
import { NEVER_CERTIFIES } from "../../../lib/inspection_words.js";

/** @param {{ problem: import("../../../lib/problem.js").Problem }} props */
export function DeadLink({ problem }) {
  const isOver = problem.status === 410;
  return html`<${Page} title=${isOver ? "This link is no longer open" : "This link is not known"} class="page-inspect">
    <div class="note">
      ${isOver
        ? html`<p>${sentence(problem.detail) || "It has expired, was revoked, or all its results have been submitted."}</p>
          <p>If you have just submitted a result, it was recorded: a link is spent by submitting.</p>`
        : html`<p>The address may have been cut off when it was copied. Open it again from the message you were sent.</p>`}
      <p><strong>Whom to ask:</strong> the scheme that sent you the link. It can send a new one, and one for a correction within
        7 days of your result.</p>
      <p>What you entered and did not submit is still kept on this phone, and comes back when you open a new link to the same home.</p>
    </div>
    <p class="small">${NEVER_CERTIFIES}</p>
  </${Page}>`;
}
