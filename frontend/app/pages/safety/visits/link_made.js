/** A link just made: its address is shown this once, or the reason why it is not. */
import { html } from "htm/preact";
import { CopyButton } from "../../../components/copy_button.js";
import { formatFarInstant } from "../../../lib/record_dates.js";

const ZONE = "Europe/London";

/** @param {{ link: import("../../../api/visit_types.d.ts").InspectionLinkMade | null, onClose: () => void }} props */
export function LinkMade({ link, onClose }) {
  if (!link) return null;
  return html`<div class="note" role="status">
    <p class="note-title">The link is on its way to ${link.sent_to}</p>
    <p>It holds until ${formatFarInstant(link.expires_at, ZONE)}; whoever holds it can open the homes on their days.</p>
    ${link.url ? html`<p>It is shown here once and never again:</p><p class="secret">${link.url}</p>` : html`<p>${link.url_withheld_because || "Its address was shown before and is not shown again; it stands in the e-mail."}</p>`}
    ${link.is_household_address && html`<p class="fault">This address belongs to somebody of one of the homes. What comes in through it is kept, but never counts for clearance.</p>`}
    <div class="form-actions">${link.url && html`<${CopyButton} text=${link.url} label="Copy the link" />`}<button type="button" class="button" onClick=${onClose}>Done</button></div>
  </div>`;
}
