/** One claim as who decides it sees it: lines without places, working, what was asked, and the decision. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { decideClaim, getClaim } from "../../api/claims.js";
import { Facts } from "../../components/facts.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { ProblemNote } from "../../components/problem_note.js";
import { claimFlags, claimName, pounds } from "../../lib/claim_words.js";
import { formatShortDate } from "../../lib/record_dates.js";
import { askConfirm } from "../../state/confirm.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { useSubmission } from "../../state/submission.js";
import { ClaimReckoning } from "./claim_lines.js";
import { ClaimHistory } from "./claim_messages.js";
import { MoneyLinks } from "./money_links.js";
import { ClaimTag } from "./own_claims.js";
import { SaidForm } from "./said_form.js";

/** @typedef {import("../../api/claim_types.d.ts").Claim} Claim */
/** @typedef {import("../../state/resource.js").Resource<Claim>} ClaimResource */

const ASKING = /** @type {const} */ ({
  query: { label: "Your question", hint: "The member is told, and answers or changes the claim.", action: "Send the question", said: "Question sent." },
  refusal: { label: "Why it is refused", hint: "The member reads this. The trips can be claimed anew.", action: "Refuse the claim", said: "Claim refused." },
});

/** @param {{ claim: ClaimResource }} props */
function Decision({ claim }) {
  const stored = /** @type {Claim} */ (claim.data);
  const [asking, setAsking] = useState(/** @type {"" | "query" | "refusal"} */ (""));
  const { isBusy, problem, run } = useSubmission({ onStale: claim.reload });
  if (stored.state !== "sent" && stored.state !== "queried") return null;
  if (stored.may_decide === false) return html`<p class="note">This is your own claim: somebody else decides it.</p>`;
  const decide = async (/** @type {"query" | "approval" | "refusal"} */ act, /** @type {object} */ body, /** @type {string} */ key, /** @type {string} */ words) => {
    const { data, etag } = await decideClaim(stored.id, act, body, { key, etag: claim.etag });
    claim.put(data, etag);
    setAsking("");
    say(words);
  };
  const approve = async () => {
    const isSure = await askConfirm({
      title: `Approve ${pounds(stored.total_pence)} for ${stored.member_name}?`, text: "It goes on the next statement for payroll.", action: "Approve",
    });
    if (isSure) await run((key) => decide("approval", {}, key, "Claim approved."));
  };
  const words = asking && ASKING[asking];
  return html`<section class="card" aria-labelledby="decision-title"><h2 id="decision-title">Decide</h2>
    <${ProblemNote} problem=${problem} takesFocus />
    ${words
      ? html`<${SaidForm} key=${asking} label=${words.label} hint=${words.hint} action=${words.action} onCancel=${() => setAsking("")}
          send=${(/** @type {string} */ text, /** @type {string} */ key) => decide(asking, { text }, key, words.said)} />`
      : html`<div class="form-actions">
          ${stored.state === "sent" && html`<button type="button" class="button button-main" disabled=${isBusy} onClick=${approve}>Approve ${pounds(stored.total_pence)}</button>
            <button type="button" class="button" disabled=${isBusy} onClick=${() => setAsking("query")}>Ask about it</button>`}
          <button type="button" class="button" disabled=${isBusy} onClick=${() => setAsking("refusal")}>Refuse</button></div>
        ${stored.state === "queried" && html`<p class="small">It waits for the member's answer before it can be approved.</p>`}`}
  </section>`;
}

/** @param {{ claim: ClaimResource }} props */
function Body({ claim }) {
  const stored = /** @type {Claim} */ (claim.data);
  /** @type {[string, unknown][]} */
  const rows = [
    ["State", html`<${ClaimTag} state=${stored.state} />`], ["Home", stored.reference],
    ["Sent", formatShortDate(stored.sent_at)], ["Decided", stored.decided_at ? formatShortDate(stored.decided_at) : "not yet"],
  ];
  const flags = claimFlags(stored);
  if (flags.length > 0) rows.push(["Note", flags.join(". ")]);
  return html`
    <${Facts} rows=${rows} class="facts-wide" />
    ${stored.corrects_id && html`<p><a href=${`/claims/${stored.corrects_id}`}>The claim it corrects</a></p>`}
    ${stored.statement_id && html`<p><a href=${`/statements/${stored.statement_id}`}>The statement it stands on</a></p>`}
    ${stored.note && html`<p class="note">${stored.note}</p>`}
    <${Decision} claim=${claim} />
    <${ClaimReckoning} reckoning=${stored.reckoning} />
    <${ClaimHistory} claim=${stored} />
  `;
}

/** @param {{ claimId: string }} props */
export function ClaimPage({ claimId }) {
  const claim = useResource((reading) => getClaim(claimId, reading), [claimId]);
  return html`<${Page} title=${claim.data ? `${claim.data.member_name}: ${claimName(claim.data)}` : "Claim"} class="page-admin"
    lead=${html`<a href="/claims?state=sent">Claims that wait</a>`}>
    <${MoneyLinks} />
    <${Loaded} of=${claim} lines=${3} size="card">${() => html`<${Body} key=${claimId} claim=${claim} />`}</${Loaded}>
  </${Page}>`;
}
