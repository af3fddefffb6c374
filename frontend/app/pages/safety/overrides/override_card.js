/** One decision: of what, what it does, why, who made it, and ending it. */
import { html } from "htm/preact";
import { endOverride } from "../../../api/overrides.js";
import { Facts } from "../../../components/facts.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { DECISION_WORDS, itemLabel } from "../../../lib/override_words.js";
import { formatRecordInstant } from "../../../lib/record_dates.js";
import { formatDate } from "../../../lib/time.js";
import { askConfirm } from "../../../state/confirm.js";
import { say } from "../../../state/notices.js";
import { useSubmission } from "../../../state/submission.js";

/** @typedef {import("../../../api/check_types.d.ts").Override} Override */
/** @typedef {import("../../../api/types.d.ts").Household} Household */

/** @param {Override} override @returns {string} */
function doesWhat({ kind, clearance, limit_a: limit, due_on: due, new_due_on: later }) {
  if (kind === "extension") return `Inspection due on ${formatDate(due ?? "")} is put off to ${formatDate(later ?? "")}`;
  return `At best: ${DECISION_WORDS[clearance ?? ""] ?? "not known"}${limit === null ? "" : `, ${limit} A at most`}`;
}

/** @param {{ override: Override, home: Household, isOfficer: boolean, isOwn: boolean, onEnded: () => void }} props */
export function OverrideCard({ override, home, isOfficer, isOwn, onEnded }) {
  const submission = useSubmission();
  const now = Date.now();
  const label = itemLabel(home, override.item_id);
  const isExtension = override.kind === "extension";
  const isOver = override.ended_at !== null;
  const end = async () => {
    const isSure = await askConfirm({
      title: "End this decision?",
      text: isExtension
        ? `${label}: the inspection falls due on ${formatDate(override.due_on ?? "")} again. If that day has come, charging there stops at once. The date cannot be put off a second time.`
        : `${label}: from now on evidence alone speaks. The decision and its reason stay in the record.`,
      action: "End it", stay: "Leave it",
    });
    if (!isSure) return;
    await submission.run(async (key) => {
      await endOverride(home.id, override.id, key);
      say("The decision has ended.");
      onEnded();
    });
  };
  /** @type {[string, unknown][]} */
  const rows = [
    ["What it does", doesWhat(override)],
    ["Why", override.reason],
    ["Made", `${formatRecordInstant(override.made_at, home.zone, now)} by ${override.made_by_name ?? "somebody no longer known"}`],
  ];
  if (override.ended_at) rows.push(["Ended", `${formatRecordInstant(override.ended_at, home.zone, now)} by ${override.ended_by_name ?? "somebody no longer known"}`]);
  return html`<section class="card" aria-labelledby=${`override-${override.id}`}>
    <div class="card-head"><h2 class="card-title" id=${`override-${override.id}`}>${label}<span class="cell-note">${isExtension ? "due date put off" : "made stricter"}</span></h2>
      <span class="tag">${isOver ? "Ended" : "In force"}</span></div>
    <${Facts} rows=${rows} class="facts-long" />
    <${ProblemNote} problem=${submission.problem} takesFocus />
    ${isOfficer && !isOver && (isExtension || !isOwn) && html`<div class="form-actions">
      <button type="button" class="button" disabled=${submission.isBusy} onClick=${end}>End this decision<span class="unseen">: ${label}</span></button></div>`}
  </section>`;
}
