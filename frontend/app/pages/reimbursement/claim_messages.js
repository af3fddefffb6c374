/** What was asked and answered about a claim, and its history. */
import { html } from "htm/preact";
import { MESSAGE_WORDS } from "../../lib/claim_words.js";
import { formatRecordInstant } from "../../lib/record_dates.js";

/** @typedef {import("../../api/claim_types.d.ts").Claim} Claim */

const ZONE = "Europe/London";

/**
 * What happened, the oldest first.
 * @param {Claim} claim
 * @returns {{ at: string, what: string, text: string }[]}
 */
export function historyOf(claim) {
  const said = claim.messages.map(({ kind, text, written_at: at, author }) => ({ at, what: `${MESSAGE_WORDS[kind]}${author ? `, ${author}` : ""}`, text }));
  const known = [{ at: claim.created_at, what: "Begun", text: "" }, ...said];
  if (claim.sent_at) known.push({ at: claim.sent_at, what: "Sent", text: "" });
  if (claim.decided_at && ["approved", "stated"].includes(claim.state)) known.push({ at: claim.decided_at, what: "Approved", text: "" });
  return known.sort((left, right) => Date.parse(left.at) - Date.parse(right.at));
}

/** @param {{ claim: Claim }} props */
export function ClaimHistory({ claim }) {
  return html`<section class="card" aria-labelledby="history-title">
    <h2 id="history-title">What happened</h2>
    <ol class="claim-history">${historyOf(claim).map(({ at, what, text }) => html`<li key=${at + what}>
      <p><strong>${what}</strong> <span class="cell-note">${formatRecordInstant(at, ZONE, Date.now())}</span></p>
      ${text && html`<p class="said">${text}</p>`}</li>`)}</ol>
  </section>`;
}
