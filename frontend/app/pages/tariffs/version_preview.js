/** What publishing would do, asked for before it is done; then publishing itself, with a question in between. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { previewVersion, publishVersion } from "../../api/tariffs.js";
import { Facts } from "../../components/facts.js";
import { ProblemNote } from "../../components/problem_note.js";
import { aboutChange, aboutPounds, wholePounds } from "../../lib/money.js";
import { counted } from "../../lib/quantity.js";
import { formatDate } from "../../lib/time.js";
import { askConfirm } from "../../state/confirm.js";
import { say } from "../../state/notices.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/types.d.ts").Version} Version */
/** @typedef {import("../../api/types.d.ts").VersionPreview} Preview */

/**
 * The rows of a preview.
 * @param {Preview} preview
 * @returns {[string, unknown][]}
 */
export function previewRows(preview) {
  if (preview.price_changes_count === null) {
    return [
      ["Homes on this tariff", counted(preview.household_count, "home")],
      ["What would change", "not told below five homes: it would say when one home is empty"],
    ];
  }
  const [before, after] = [wholePounds(preview.week_cost_before_pence), wholePounds(preview.week_cost_after_pence)];
  return [
    ["Homes on this tariff", counted(preview.household_count, "home")],
    ["Prices would change in the next seven days for", counted(preview.price_changes_count, "home")],
    ["Charging times would move in", html`<strong>${counted(preview.blocks_move_count ?? 0, "home")}</strong>`],
    ["New shortfalls", counted(preview.new_shortfall_count ?? 0, "home")],
    ["Week's cost now", aboutPounds(before)],
    ["Week's cost with this version", html`<strong>${aboutPounds(after)}</strong> (${aboutChange(after, before)})`],
  ];
}

/**
 * How much of the preview was really worked out.
 * @param {Preview} preview
 * @returns {string}
 */
export function checkedWords(preview) {
  if (preview.price_changes_count === null || preview.unpriced_count === null) return "";
  const unpriced = preview.unpriced_count > 0 ? ` The costs leave out ${counted(preview.unpriced_count, "home")} where not all is priced.` : "";
  if (preview.checked_count >= preview.price_changes_count) return `Every home whose prices change was planned anew for this answer.${unpriced}`;
  return `Planned anew for this answer: ${counted(preview.checked_count, "home")} of ${preview.price_changes_count} whose prices change; moves, shortfalls and costs are about those.${unpriced}`;
}

/** @param {{ version: Version, isDirty: boolean, onPublished: () => void }} props */
export function VersionPreview({ version, isDirty, onPublished }) {
  const [preview, setPreview] = useState(/** @type {Preview | null} */ (null));
  const looking = useSubmission();
  const publishing = useSubmission();
  const look = () => looking.run(async () => setPreview((await previewVersion(version.tariff_id, version.id)).data));
  const publish = async () => {
    const isSure = await askConfirm({
      title: "Publish this version?",
      text: `It counts from ${formatDate(version.valid_from_on)}. ${preview ? `${counted(preview.household_count, "home")} on this tariff will be replanned` : "Homes on this tariff will be replanned"}; members whose charging times move get one e-mail. A published version can no longer be edited.`,
      action: "Publish",
    });
    if (!isSure) return;
    await publishing.run(async (key) => {
      await publishVersion(version.tariff_id, version.id, key);
      say("Published. The homes are being replanned.");
      onPublished();
    });
  };
  return html`<section class="card" aria-labelledby="preview-title">
    <h2 id="preview-title">Before publishing</h2>
    <${ProblemNote} problem=${looking.problem ?? publishing.problem} takesFocus />
    <div aria-live="polite">${preview
      ? html`<${Facts} rows=${previewRows(preview)} class="facts-wide" /><p class="small">${checkedWords(preview)}</p>`
      : html`<p>See how many homes this draft would touch and what it would cost. Nothing is changed by looking.</p>`}</div>
    ${isDirty && html`<p>There are unsaved entries below. Save the draft first; the preview and publishing use what is saved.</p>`}
    <div class="form-actions">
      <button type="button" class=${`button ${preview ? "" : "button-main"}`} disabled=${isDirty || looking.isBusy} onClick=${look}>
        ${looking.isBusy ? "Working it out…" : preview ? "Work it out again" : "See what would change"}</button>
      <button type="button" class=${`button ${preview ? "button-main" : ""}`} disabled=${isDirty || publishing.isBusy || !preview} onClick=${publish}>
        ${publishing.isBusy ? "Publishing…" : "Publish this version"}</button>
    </div>
    ${!preview && html`<p class="small">Publishing opens once you have seen what would change.</p>`}
  </section>`;
}
