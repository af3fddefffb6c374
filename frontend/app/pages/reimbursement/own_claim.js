/** One claim of a member: what it comes to and why, what was asked and answered, and what can be done with it now. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { actOnOwnClaim, changeHomeShares, copyAddress, deleteClaim, getOwnClaim } from "../../api/claims.js";
import { listHoldings } from "../../api/trips.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { ProblemNote } from "../../components/problem_note.js";
import { STATE_NEXT, claimFlags, claimName, monthWords, pounds } from "../../lib/claim_words.js";
import { askConfirm } from "../../state/confirm.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { go } from "../../state/router.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";
import { ClaimReckoning } from "./claim_lines.js";
import { ClaimHistory } from "./claim_messages.js";
import { HomeShares, companyCars } from "./home_shares.js";
import { ClaimTag } from "./own_claims.js";
import { SaidForm } from "./said_form.js";

/** @typedef {import("../../api/claim_types.d.ts").Claim} Claim */
/** @typedef {import("../../state/resource.js").Resource<Claim>} ClaimResource */

/** The share charged at home of a draft's company cars. @param {{ claim: ClaimResource }} props */
function DraftShares({ claim }) {
  const stored = /** @type {Claim} */ (claim.data);
  const submission = useSubmission({ onStale: claim.reload });
  const holdings = useResource((reading) => listHoldings(ownHouseholdId(), reading), []);
  const save = (/** @type {import("../../api/claim_types.d.ts").HomeShare[]} */ shares) => submission.run(async () => {
    const { data, etag } = await changeHomeShares(ownHouseholdId(), stored.id, shares, claim.etag);
    claim.put(data, etag);
    say("Share charged at home saved.");
  });
  return html`<${HomeShares} cars=${companyCars(holdings.data?.items ?? [])} stated=${[]} submission=${submission} onSave=${save} />`;
}

/** What can be done with a claim that waits or is a draft. @param {{ claim: ClaimResource }} props */
function OpenActs({ claim }) {
  const stored = /** @type {Claim} */ (claim.data);
  const { isBusy, problem, run } = useSubmission({ onStale: claim.reload });
  const send = async () => {
    const isSure = await askConfirm({
      title: `Send the claim for ${monthWords(stored.month)}?`, text: `${pounds(stored.reckoning.total_pence)}. You can take it back until it is approved.`, action: "Send the claim",
    });
    if (isSure) await run(async (key) => {
      const { data, etag } = await actOnOwnClaim(ownHouseholdId(), stored.id, "sending", {}, key);
      claim.put(data, etag);
      say("Claim sent.");
    });
  };
  const takeBack = () => run(async (key) => {
    const { data, etag } = await actOnOwnClaim(ownHouseholdId(), stored.id, "withdrawal", {}, key);
    claim.put(data, etag);
    say("Claim taken back. Change its trips, then send it again.");
  });
  const drop = async () => {
    const isSure = await askConfirm({ title: "Drop this draft?", text: stored.corrects_id ? "The copied trips go with it; the claim it corrects stays as it is." : "Its trips stay, and can be claimed anew.", action: "Drop the draft" });
    if (isSure) await run(async () => {
      await deleteClaim(ownHouseholdId(), stored.id, claim.etag);
      say("Draft dropped.");
      go(`/miles?month=${stored.month}`, { isAsked: true });
    });
  };
  const isDraft = stored.state === "draft";
  if (!isDraft && stored.state !== "sent" && stored.state !== "queried") return null;
  return html`<div class="claim-acts"><${ProblemNote} problem=${problem} takesFocus /><div class="form-actions">
    ${isDraft && html`<button type="button" class="button button-main" disabled=${isBusy || !stored.reckoning.is_ready} onClick=${send}>Send the claim</button>
      <a class="button" href=${`/miles?month=${stored.month}`}>Change its trips</a>
      <button type="button" class="button button-quiet" disabled=${isBusy} onClick=${drop}>Drop this draft</button>`}
    ${!isDraft && html`<button type="button" class="button" disabled=${isBusy} onClick=${takeBack}>Take it back</button>`}
  </div></div>`;
}

/** @param {{ claim: ClaimResource }} props */
function Correction({ claim }) {
  const stored = /** @type {Claim} */ (claim.data);
  const [isOpen, setOpen] = useState(false);
  if (!["approved", "stated"].includes(stored.state) || stored.is_corrected) return null;
  const send = async (/** @type {string} */ reason, /** @type {string} */ key) => {
    const { data } = await actOnOwnClaim(ownHouseholdId(), stored.id, "correction", { reason }, key);
    say("Correction begun: change its trips, then send it.");
    go(`/miles/${data.id}`, { isAsked: true });
  };
  return isOpen
    ? html`<${SaidForm} name="reason" label="What was wrong" hint="The first claim stays as it is; the correction pays or takes back the difference." action="Begin the correction" send=${send} onCancel=${() => setOpen(false)} />`
    : html`<button type="button" class="button button-quiet" onClick=${() => setOpen(true)}>Something was wrong: correct it</button>`;
}

/** @param {{ claim: ClaimResource }} props */
function Body({ claim }) {
  const stored = /** @type {Claim} */ (claim.data);
  const answer = async (/** @type {string} */ text, /** @type {string} */ key) => {
    const { data, etag } = await actOnOwnClaim(ownHouseholdId(), stored.id, "answer", { text }, key);
    claim.put(data, etag);
    say("Answer sent.");
  };
  const question = stored.messages.findLast(({ kind }) => kind === "query" || kind === "refusal");
  const isAsked = stored.state === "queried" || stored.state === "refused";
  return html`
    <p><${ClaimTag} state=${stored.state} /> ${STATE_NEXT[stored.state]} ${claimFlags(stored).join(" ")}</p>
    ${isAsked && question && html`<div class="note note-warn"><p class="note-title">${stored.state === "queried" ? "You are asked" : "Why it was refused"}</p><p class="said">${question.text}</p>
      ${stored.state === "queried" && html`<${SaidForm} label="Your answer" action="Send the answer" send=${answer} />`}</div>`}
    <${OpenActs} claim=${claim} />
    ${stored.state === "draft" && html`<${DraftShares} claim=${claim} />`}
    <${ClaimReckoning} reckoning=${stored.reckoning} hasWay=${true}>
      ${stored.state !== "draft" && html`<div class="form-actions"><a class="button" href=${copyAddress(ownHouseholdId(), stored.id)} download>Get your copy as a PDF</a></div>`}
    </${ClaimReckoning}>
    <${ClaimHistory} claim=${stored} />
    <${Correction} claim=${claim} />
  `;
}

/** @param {{ claimId: string }} props */
export function OwnClaimPage({ claimId }) {
  const claim = useResource((reading) => getOwnClaim(ownHouseholdId(), claimId, reading), [claimId]);
  return html`<${Page} title=${claim.data ? `Claim for ${claimName(claim.data)}` : "Claim"} class="page-member"
    lead=${html`<a href=${claim.data ? `/miles?month=${claim.data.month}` : "/miles"}>Business miles</a>`}>
    <${Loaded} of=${claim} lines=${3} size="card">${() => html`<${Body} key=${claimId} claim=${claim} />`}</${Loaded}>
  </${Page}>`;
}
