/** What the month's open trips come to, before anything is sent, and the sending. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { actOnOwnClaim, makeClaim, previewClaim } from "../../api/claims.js";
import { Loaded } from "../../components/loaded.js";
import { ProblemNote } from "../../components/problem_note.js";
import { claimMiles, monthWords, pounds } from "../../lib/claim_words.js";
import { askConfirm } from "../../state/confirm.js";
import { say } from "../../state/notices.js";
import { go } from "../../state/router.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";
import { ClaimReckoning } from "./claim_lines.js";
import { HomeShares } from "./home_shares.js";

/** @typedef {import("../../api/claim_types.d.ts").Reckoning} Reckoning */
/** @typedef {import("../../api/claim_types.d.ts").HomeShare} HomeShare */

/** @param {{ month: string, reckoning: Reckoning, shares: HomeShare[] }} props */
function SendIt({ month, reckoning, shares }) {
  const submission = useSubmission();
  const send = async () => {
    const isSure = await askConfirm({
      title: `Send the claim for ${monthWords(month)}?`,
      text: `${pounds(reckoning.total_pence)} for ${claimMiles(reckoning.miles)}. Your employer sees dates, reasons, miles and sums, not where you drove. You can take it back until it is approved.`,
      action: "Send the claim",
    });
    if (!isSure) return;
    await submission.run(async (key) => {
      const { data: draft } = await makeClaim(ownHouseholdId(), month, shares, key);
      // Where the sending does not go through, the draft stands under the month's claims and can be sent from there.
      await actOnOwnClaim(ownHouseholdId(), draft.id, "sending", {}, `${key}-sending`).catch(async (thrown) => {
        await go(`/miles/${draft.id}`, { isAsked: true });
        throw thrown;
      });
      say(`Claim for ${monthWords(month)} sent.`);
      go(`/miles/${draft.id}`, { isAsked: true });
    });
  };
  return html`<${ProblemNote} problem=${submission.problem} takesFocus />
    <div class="form-actions"><button type="button" class="button button-main" disabled=${submission.isBusy || !reckoning.is_ready} onClick=${send}>${submission.isBusy ? "Sending…" : "Send the claim"}</button></div>
    ${!reckoning.is_ready && html`<p class="small">It can be sent once everything above is known.</p>`}`;
}

/**
 * @param {{ month: string, version: number, cars: { id: string, label: string }[] }} props
 *   version: changes with every entry that may change the sum; cars: the company cars
 */
export function MonthPreview({ month, version, cars }) {
  const [shares, setShares] = useState(/** @type {HomeShare[]} */ ([]));
  const submission = useSubmission();
  const preview = useResource((reading) => previewClaim(ownHouseholdId(), month, shares, reading), [month, version, JSON.stringify(shares)]);
  return html`<${HomeShares} cars=${cars} stated=${shares} submission=${submission} onSave=${setShares} /><div class=${preview.isLoading && preview.data ? "is-loading" : ""}><${Loaded} of=${preview} lines=${1} size="card">${(/** @type {Reckoning} */ reckoning) =>
    html`<${ClaimReckoning} reckoning=${reckoning} hasWay=${true} title=${`What ${monthWords(month)} comes to`}><${SendIt} month=${month} reckoning=${reckoning} shares=${shares} /></${ClaimReckoning}>`
  }</${Loaded}></div>`;
}
