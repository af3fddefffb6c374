/** The charging records of a period, the newest first: changed, or taken out. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { changeCharging, getCharging, listCharging, removeCharging } from "../../../api/charging.js";
import { Loaded } from "../../../components/loaded.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { recordTimes, recordWords } from "../../../lib/charged_words.js";
import { formatEnergy } from "../../../lib/quantity.js";
import { askConfirm } from "../../../state/confirm.js";
import { say } from "../../../state/notices.js";
import { useResource } from "../../../state/resource.js";
import { ownHouseholdId } from "../../../state/session.js";
import { useSubmission } from "../../../state/submission.js";
import { ChargeForm } from "./charge_form.js";

/** @typedef {import("../../../api/charging_types.d.ts").ChargingPage} ChargingPage */
/** @typedef {import("../../../api/charging_types.d.ts").ChargingRecord} ChargingRecord */
/** @typedef {import("../../../lib/charged_words.js").Named} Named */

const A_PAGE = 20;

/** @param {{ record: ChargingRecord, cars: Named[], zone: string, today: string, onChange: () => void, onCancel: () => void }} props */
function EditRecord({ record, cars, zone, today, onChange, onCancel }) {
  const submission = useSubmission();
  const send = (/** @type {import("../../../api/charging_types.d.ts").ChargingEntry} */ entry) => submission.run(async () => {
    const { etag, data } = await getCharging(ownHouseholdId(), record.id);
    // The outlet stays; half-hours told by a meter no longer fit other times or another energy.
    const isSame = entry.energy_kwh === data.energy_kwh && entry.starts_at === data.starts_at && entry.ends_at === data.ends_at;
    const outlet = entry.place === "home" ? data.outlet_id : null;
    await changeCharging(ownHouseholdId(), record.id, { ...entry, outlet_id: outlet, note: data.note, ...(isSame ? {} : { half_hours: [] }) }, etag);
    say("Changed.");
    onChange();
  });
  return html`<div class="inset"><${ChargeForm} cars=${cars} zone=${zone} today=${today} record=${record} action="Save the change"
    submission=${submission} onSend=${send} onCancel=${onCancel} /></div>`;
}

/**
 * @param {{ asked: { from_on: string, to_on: string }, turn: number, cars: Named[], zone: string, today: string, onChange: () => void }} props
 *   turn: counts what was added elsewhere on the page
 */
export function RecordsList({ asked, turn, cars, zone, today, onChange }) {
  const [page, setPage] = useState(1);
  const [edited, setEdited] = useState("");
  const removal = useSubmission();
  const records = useResource((reading) => listCharging(ownHouseholdId(), { ...asked, page, page_size: A_PAGE }, reading), [asked, page, turn]);
  const changed = () => {
    setEdited("");
    onChange();
  };
  const remove = async (/** @type {ChargingRecord} */ record) => {
    if (!(await askConfirm({ title: "Take this charge out?", text: `${recordTimes(record, zone)}, ${formatEnergy(record.energy_kwh)}.`, action: "Take it out" }))) return;
    await removal.run(async () => {
      const { etag } = await getCharging(ownHouseholdId(), record.id);
      await removeCharging(ownHouseholdId(), record.id, etag);
      say("Taken out.");
      changed();
    });
  };
  return html`<section class="card" aria-labelledby="records">
    <h2 id="records">Each charge</h2>
    <${ProblemNote} problem=${removal.problem} takesFocus />
    <${Loaded} of=${records} lines=${3} size="line">${(/** @type {ChargingPage} */ { items, total }) => html`
      ${total === 0 && html`<p>None is recorded for these days. Add one above, or read a table.</p>`}
      <ul class="row-list">${items.map((record) => html`<li key=${record.id} class="row-item">
        ${edited === record.id
          ? html`<${EditRecord} record=${record} cars=${cars} zone=${zone} today=${today} onChange=${changed} onCancel=${() => setEdited("")} />`
          : html`<div><p><span class="nowrap">${recordTimes(record, zone)}:</span> <strong class="nowrap">${formatEnergy(record.energy_kwh)}</strong></p>
              <p class="small">${recordWords(record, cars)}</p></div>
            <div class="row-actions">
              <button type="button" class="button button-quiet" onClick=${() => setEdited(record.id)}>Change<span class="unseen"> ${recordTimes(record, zone)}</span></button>
              <button type="button" class="button button-quiet" disabled=${removal.isBusy} onClick=${() => remove(record)}>Take out<span class="unseen"> ${recordTimes(record, zone)}</span></button>
            </div>`}
      </li>`)}</ul>
      ${total > A_PAGE && html`<div class="pager" role="group" aria-label="Pages of charges">
        <button type="button" class="button" disabled=${page === 1} onClick=${() => setPage(page - 1)}>Newer</button>
        <span>${(page - 1) * A_PAGE + 1} to ${Math.min(total, page * A_PAGE)} of ${total}</span>
        <button type="button" class="button" disabled=${page * A_PAGE >= total} onClick=${() => setPage(page + 1)}>Older</button></div>`}
    `}</${Loaded}>
  </section>`;
}
