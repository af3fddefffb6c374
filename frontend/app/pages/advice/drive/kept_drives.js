/** The drawings that are kept: opened again, deleted, or another begun. */
import { html } from "htm/preact";
import { deleteDrive, getDrive } from "../../../api/drives.js";
import { Loaded } from "../../../components/loaded.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { askConfirm } from "../../../state/confirm.js";
import { say } from "../../../state/notices.js";
import { ownHouseholdId } from "../../../state/session.js";
import { useSubmission } from "../../../state/submission.js";
import { mayLeave } from "../../../state/unsaved.js";

/** @typedef {import("../../../api/drive_types.d.ts").Drive} Drive */
/** @typedef {import("../drive.js").Opened} Opened */

/**
 * @param {{
 *   kept: import("../../../state/resource.js").Resource<{ items: Drive[], most: number }>,
 *   onOpen: (opened: Opened) => void,
 * }} props
 */
export function KeptDrives({ kept, onOpen }) {
  const act = useSubmission({ onStale: kept.reload });
  const open = async (/** @type {string} */ id) => {
    if (!(await mayLeave())) return;
    await act.run(async () => {
      const { data, etag } = await getDrive(ownHouseholdId(), id);
      onOpen({ drive: data, etag });
    });
  };
  const begin = async () => {
    if (await mayLeave()) onOpen({ drive: null, etag: null });
  };
  const remove = async (/** @type {Drive} */ { id, label }) => {
    if (!(await askConfirm({ title: `Delete "${label}"?`, text: "The drawing cannot be brought back.", action: "Delete" }))) return;
    await act.run(async () => {
      const { etag } = await getDrive(ownHouseholdId(), id);
      await deleteDrive(ownHouseholdId(), id, etag);
      kept.reload();
      onOpen({ drive: null, etag: null });
      say(`"${label}" deleted.`);
    });
  };
  return html`<section class="kept-drives" aria-labelledby="kept-drives">
    <h2 id="kept-drives">Kept drawings</h2>
    <${ProblemNote} problem=${act.problem} takesFocus />
    <${Loaded} of=${kept} lines=${1} size="line">${(/** @type {{ items: Drive[], most: number }} */ { items, most }) => html`
      ${items.length === 0 && html`<p>None yet. A drawing is kept when you look for the place.</p>`}
      <ul class="row-list">${items.map((item) => html`<li key=${item.id} class="row-item">
        <div><strong>${item.label}</strong></div>
        <div class="row-actions">
          <button type="button" class="button button-quiet" disabled=${act.isBusy} onClick=${() => open(item.id)}>Open<span class="unseen"> ${item.label}</span></button>
          <button type="button" class="button button-quiet" disabled=${act.isBusy} onClick=${() => remove(item)}>Delete<span class="unseen"> ${item.label}</span></button>
        </div></li>`)}</ul>
      ${items.length > 0 && items.length < most && html`<p><button type="button" class="button" onClick=${begin}>Begin another drawing</button></p>`}
      ${items.length >= most && html`<p>No more than ${most} are kept: delete one before you begin another.</p>`}
    `}</${Loaded}>
  </section>`;
}
