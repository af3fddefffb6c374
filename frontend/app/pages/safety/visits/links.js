/** Links that were sent, how they stand, and taking one back. */
import { html } from "htm/preact";
import { listInspectionLinks, revokeInspectionLink } from "../../../api/visits.js";
import { newKey } from "../../../api/client.js";
import { Loaded } from "../../../components/loaded.js";
import { Pager } from "../../../components/pager.js";
import { asProblem, problemWords } from "../../../lib/problem.js";
import { counted } from "../../../lib/quantity.js";
import { formatRecordInstant } from "../../../lib/record_dates.js";
import { askConfirm } from "../../../state/confirm.js";
import { say } from "../../../state/notices.js";
import { useResource } from "../../../state/resource.js";
import { adjust } from "../../../state/router.js";

/** @typedef {import("../../../api/visit_types.d.ts").InspectionLinkRow} LinkRow */

const ZONE = "Europe/London";
const PAGE_SIZE = 20;

/** @type {Record<LinkRow["state"], string>} */
const STATE_WORDS = {
  open: "Open", spent: "Spent: everything was recorded", expired: "Expired", revoked: "Revoked",
};

/** @param {{ link: LinkRow, onChange: () => void }} props */
function LinkLine({ link, onChange }) {
  const now = Date.now();
  const revoke = async () => {
    const isSure = await askConfirm({
      title: "Revoke this link?", text: `Whoever holds the link sent to ${link.sent_to} can then open nothing. A draft that has not been submitted is not shown to anybody.`,
      action: "Revoke the link", stay: "Leave it open",
    });
    if (!isSure) return;
    try {
      await revokeInspectionLink(link.id, newKey());
      say("The link has been revoked.");
      onChange();
    } catch (thrown) {
      const { headline, advice } = problemWords(asProblem(thrown));
      say(`${headline}. ${advice}`);
    }
  };
  return html`<tr>
    <th scope="row">${link.sent_to}<span class="cell-note">${link.electrician_name || "not on the list"}${link.is_household_address && ", an address of the home: never counts"}</span></th>
    <td data-name="For">${link.kind === "correction" ? "A correction" : counted(link.visits.length, "home")}<span class="cell-note">${link.visits.map(({ reference, spent_at: spentAt }) => (spentAt ? `${reference} (recorded)` : reference)).join(", ")}</span></td>
    <td data-name="Made">${formatRecordInstant(link.made_at, ZONE, now)}</td>
    <td data-name="Expires">${formatRecordInstant(link.expires_at, ZONE, now)}</td>
    <td data-name="Standing">${STATE_WORDS[link.state]}${link.revoked_at && html`<span class="cell-note">${formatRecordInstant(link.revoked_at, ZONE, now)}</span>`}</td>
    <td data-name="">${link.state === "open" && html`<button type="button" class="button button-quiet" onClick=${revoke}>Revoke<span class="unseen"> the link sent to ${link.sent_to}</span></button>`}</td>
  </tr>`;
}

/**
 * Turn the page of the links without going to the top of the visits.
 * @param {MouseEvent} event
 */
function stay(event) {
  const link = event.target instanceof Element ? event.target.closest("a") : null;
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault();
  adjust(link.pathname + link.search);
}

/** @param {{ page: number, hrefOf: (page: number) => string }} props */
export function Links({ page, hrefOf }) {
  const list = useResource((reading) => listInspectionLinks({ page, page_size: PAGE_SIZE }, reading), [page]);
  return html`<section aria-labelledby="links-title"><h2 id="links-title">Links sent</h2>
    <${Loaded} of=${list} lines=${2} size="line">${(/** @type {import("../../../api/types.d.ts").Paged<LinkRow>} */ { items, total }) => items.length === 0
      ? html`<p>${page > 1 ? html`No link is on this page. <a href=${hrefOf(1)}>Show the newest</a>` : "None yet. Choose visits with an agreed date above."}</p>`
      : html`<div class="table-box" tabindex="0" role="region" aria-label="Table of links"><table class="table stacking dense">
        <thead><tr><th scope="col">Sent to</th><th scope="col">For</th><th scope="col">Made</th><th scope="col">Expires</th><th scope="col">Standing</th><th scope="col"><span class="unseen">Action</span></th></tr></thead>
        <tbody>${items.map((link) => html`<${LinkLine} key=${link.id} link=${link} onChange=${list.reload} />`)}</tbody></table></div>
        <div onClick=${stay}><${Pager} page=${page} pageSize=${PAGE_SIZE} total=${total} noun="links" label="Pages of links" hrefOf=${hrefOf} /></div>`}</${Loaded}></section>`;
}
