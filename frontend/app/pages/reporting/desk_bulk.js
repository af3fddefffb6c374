/** What can be done for several homes at once, with their number, after a question. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { askForChecks, askVisits, exportAddress } from "../../api/safety_desk.js";
import { ProblemNote } from "../../components/problem_note.js";
import { filterBody, filtersOf } from "../../lib/desk_query.js";
import { counted } from "../../lib/quantity.js";
import { askConfirm } from "../../state/confirm.js";
import { say } from "../../state/notices.js";
import { useSubmission } from "../../state/submission.js";
import { DeskAsked } from "./desk_asked.js";

/** @typedef {import("../../lib/desk_query.js").DeskQuery} DeskQuery */

const REASON = "Asked for from the safety desk: an outlet of this home is not clear for charging.";

/**
 * @param {{ query: DeskQuery, total: number, chosen: string[], isAllMatching: boolean, pageCount: number,
 *   onAllMatching: () => void, onNone: () => void, onDone: () => void }} props
 */
export function DeskBulk({ query, total, chosen, isAllMatching, pageCount, onAllMatching, onNone, onDone }) {
  const { isBusy, problem, run, clear } = useSubmission();
  const count = isAllMatching ? total : chosen.length;
  const homes = counted(count, "home");
  const chosenHomes = { household_ids: isAllMatching ? null : chosen, all_matching: isAllMatching ? filterBody(query) : null, household_count: count };
  const [asked, setAsked] = useState(/** @type {import("../../api/types.d.ts").AskedPerson[] | null} */ (null));
  const visits = async () => {
    const isSure = await askConfirm({
      title: `Ask for a visit to ${homes}?`,
      text: "An inspection is asked for of each outlet there that no car may charge from. Homes whose outlets are all clear, or that have an open visit, are left out. A visit can be cancelled again.",
      action: `Ask for ${homes}`,
    });
    if (!isSure) return;
    await run(async (key) => {
      const { data } = await askVisits({ ...chosenHomes, reason: REASON }, key);
      say(`${counted(data.asked, "visit")} asked for. ${data.had_visit} had one open already, ${data.had_nothing} needed none.`);
      onDone();
    });
  };
  const checks = async () => {
    const isSure = await askConfirm({
      title: `Mail ${homes} to make the check now?`,
      text: "Every member there is asked by e-mail where a check is missing or due within 14 days. Left out: who was mailed about rechecks today, and what charging is stopped from. Outside the home's sending hours it goes out in the morning.",
      action: `Mail ${homes}`,
    });
    if (!isSure) return;
    setAsked(null);
    await run(async (key) => {
      const { data } = await askForChecks(chosenHomes, key);
      setAsked(data.people);
      onDone();
    });
  };
  return html`<div class="bulk">
    <p role="status">${count === 0 ? "No home is chosen." : `${homes} chosen.`}
      ${!isAllMatching && chosen.length >= pageCount && total > chosen.length && html` <button type="button" class="button button-quiet" onClick=${onAllMatching}>Choose all ${total} that match</button>`}
      ${count > 0 && html` <button type="button" class="button button-quiet" onClick=${() => { clear(); onNone(); }}>Choose none</button>`}</p>
    <div class="bulk-actions">
      <button type="button" class="button" disabled=${count === 0 || isBusy} onClick=${visits}>${isBusy ? "Working…" : "Ask for visits"}</button>
      <button type="button" class="button" disabled=${count === 0 || isBusy} onClick=${checks}>${isBusy ? "Working…" : "Remind of the check"}</button>
      <a class="button" href=${exportAddress(filtersOf(query), "csv")} download>Export all ${total} as CSV</a>
      <a class="button" href=${exportAddress(filtersOf(query), "xlsx")} download>Export all ${total} as XLSX</a>
    </div>
    <${ProblemNote} problem=${problem} takesFocus=${true} />
    ${asked && html`<${DeskAsked} people=${asked} onClose=${() => setAsked(null)} />`}
  </div>`;
}
