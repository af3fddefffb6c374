/** The comparisons that are kept: shown again, or deleted. */
import { html } from "htm/preact";
import { deleteWhatIf, getWhatIf } from "../../../api/what_ifs.js";
import { Loaded } from "../../../components/loaded.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { formatInstant } from "../../../lib/time.js";
import { yearWords } from "../../../lib/what_if_words.js";
import { askConfirm } from "../../../state/confirm.js";
import { say } from "../../../state/notices.js";
import { ownHouseholdId } from "../../../state/session.js";
import { useSubmission } from "../../../state/submission.js";

/** @typedef {import("../../../api/what_if_types.d.ts").WhatIf} WhatIf */
/** @typedef {{ items: WhatIf[], most: number }} Kept */

/**
 * @param {{
 *   kept: import("../../../state/resource.js").Resource<Kept>, zone: string, shownId: string | null,
 *   onShow: (whatIf: WhatIf) => void, onDeleted: (id: string) => void,
 * }} props
 */
export function KeptList({ kept, zone, shownId, onShow, onDeleted }) {
  const removal = useSubmission({ onStale: kept.reload });
  const remove = async (/** @type {WhatIf} */ { id, label }) => {
    if (!(await askConfirm({ title: `Delete "${label}"?`, text: "It is gone for the administrator as well, if you shared it.", action: "Delete" }))) return;
    await removal.run(async () => {
      const { etag } = await getWhatIf(ownHouseholdId(), id);
      await deleteWhatIf(ownHouseholdId(), id, etag);
      onDeleted(id);
      say(`"${label}" deleted.`);
    });
  };
  return html`<section aria-labelledby="kept">
    <h2 id="kept">Kept</h2>
    <${ProblemNote} problem=${removal.problem} takesFocus />
    <${Loaded} of=${kept} lines=${1} size="line">${(/** @type {Kept} */ { items, most }) => html`
      ${items.length === 0 && html`<p>Nothing yet. What you compare is kept here.</p>`}
      <ul class="row-list">${items.map((item) => html`<li key=${item.id} class="row-item">
        <div><p><strong>${item.label}</strong>: ${yearWords(item.result.yearly)} a year</p>
          <p class="small">${[formatInstant(item.created_at, zone), item.is_shared && "shared as totals"].filter(Boolean).join(" · ")}</p></div>
        <div class="row-actions">
          ${item.id !== shownId && html`<button type="button" class="button button-quiet" onClick=${() => onShow(item)}>Show<span class="unseen"> ${item.label}</span></button>`}
          <button type="button" class="button button-quiet" disabled=${removal.isBusy} onClick=${() => remove(item)}>Delete<span class="unseen"> ${item.label}</span></button>
        </div></li>`)}</ul>
      ${items.length >= most && html`<p>No more than ${most} are kept: delete one before you compare again.</p>`}
    `}</${Loaded}>
  </section>`;
}
