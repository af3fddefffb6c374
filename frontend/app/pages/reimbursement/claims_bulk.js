/** What can be done with the chosen claims at once, with their number and sum, after a question; and what did not go through. */
import { html } from "htm/preact";
import { useEffect, useRef } from "preact/hooks";
import { approveClaims } from "../../api/claims.js";
import { ProblemNote } from "../../components/problem_note.js";
import { chosenOf, isToDecide } from "../../lib/claim_choice.js";
import { claimName, pounds } from "../../lib/claim_words.js";
import { counted } from "../../lib/quantity.js";
import { askConfirm } from "../../state/confirm.js";
import { say } from "../../state/notices.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/claim_types.d.ts").SchemeClaims} SchemeClaims */
/** @typedef {import("../../api/claim_types.d.ts").ClaimRow} ClaimRow */
/** @typedef {{ approved: number, pence: number, failed: { row: ClaimRow | undefined, id: string, reason: string }[] }} Done */

/** What came of it, also where nothing is left in the view. @param {{ done: Done, onClose: () => void }} props */
export function ApprovalReport({ done, onClose }) {
  const heading = useRef(/** @type {HTMLHeadingElement | null} */ (null));
  useEffect(() => heading.current?.focus(), []);
  return html`<section class="card" aria-labelledby="approved-title"><h2 id="approved-title" tabindex="-1" ref=${heading}>${counted(done.approved, "claim")} approved, ${pounds(done.pence)}</h2>
    ${done.failed.length > 0 && html`<h3>${counted(done.failed.length, "claim")} not approved</h3>
      <ul>${done.failed.map(({ row, id, reason }) => html`<li key=${id}><a href=${`/claims/${id}`}>${row ? `${row.member_name}, ${claimName(row)}` : "A claim"}</a>: ${reason}</li>`)}</ul>`}
    <div class="form-actions">${done.approved > 0 && html`<a class="button" href="/statements">Make the month's statement</a>`}
      <button type="button" class="button" onClick=${onClose}>Close</button></div></section>`;
}

/**
 * @param {{ claims: SchemeClaims, choice: import("../../lib/claim_choice.js").Choice, onAll: () => void, onNone: () => void, onDone: (done: Done) => void }} props
 */
export function ClaimsBulk({ claims, choice, onAll, onNone, onDone }) {
  const { isBusy, problem, run } = useSubmission();
  const chosen = chosenOf(choice, claims.items);
  const open = claims.items.filter(isToDecide).length;
  const approve = async () => {
    const isSure = await askConfirm({
      title: `Approve ${counted(chosen.count, "claim")}, ${pounds(chosen.pence)}?`,
      text: "Each is approved as it stands on this page. One that has changed since, or is your own, is left out and named. Approved claims go on the next statement.",
      action: `Approve ${counted(chosen.count, "claim")}`,
    });
    if (!isSure) return;
    await run(async (key) => {
      const { data } = await approveClaims(chosen.claims, key);
      const failed = data.failed.map(({ claim_id: id, reason }) => ({ id, reason, row: claims.items.find((row) => row.id === id) }));
      say(`${counted(data.approved.length, "claim")} approved.`);
      onDone({ approved: data.approved.length, pence: data.total_pence, failed });
    });
  };
  return html`<div class="bulk">
    <p role="status">${chosen.count === 0 ? (open > 0 ? "No claim is chosen." : "None of these waits to be approved.") : `${counted(chosen.count, "claim")} chosen, ${pounds(chosen.pence)}.`}
      ${chosen.count < open && html` <button type="button" class="button button-quiet" onClick=${onAll}>Choose all ${open} that can be approved</button>`}
      ${chosen.count > 0 && html` <button type="button" class="button button-quiet" onClick=${onNone}>Choose none</button>`}</p>
    ${open > 0 && html`<div class="bulk-actions"><button type="button" class="button button-main" disabled=${chosen.count === 0 || isBusy} onClick=${approve}>${
      isBusy ? `Approving ${counted(chosen.count, "claim")}…` : chosen.count === 0 ? "Approve" : `Approve ${chosen.count}`}</button></div>`}
    <${ProblemNote} problem=${problem} takesFocus=${true} />
  </div>`;
}
