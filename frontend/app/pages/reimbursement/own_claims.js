/** A member's claims, the newest first, each with where it stands and what comes next. */
import { html } from "htm/preact";
import { STATE_NEXT, STATE_WORDS, claimFlags, claimMiles, claimName, pounds } from "../../lib/claim_words.js";

/** @typedef {import("../../api/claim_types.d.ts").ClaimRow} ClaimRow */

/** @param {{ state: import("../../api/claim_types.d.ts").ClaimState }} props */
export function ClaimTag({ state }) {
  return html`<span class=${`tag claim-${state}`}>${STATE_WORDS[state]}</span>`;
}

/** @param {{ claims: ClaimRow[] }} props */
export function OwnClaims({ claims }) {
  if (claims.length === 0) return html`<p>No claim has been made yet.</p>`;
  return html`<ul class="row-list">${claims.map((claim) => html`<li key=${claim.id} class="row-item"><div>
      <p><a href=${`/miles/${claim.id}`}><strong>${claimName(claim)}</strong></a>: ${pounds(claim.total_pence)}, ${claimMiles(claim.miles)}</p>
      <p class="small">${[STATE_NEXT[claim.state], ...claimFlags(claim)].join(" ")}</p>
    </div><${ClaimTag} state=${claim.state} /></li>`)}</ul>`;
}
