/** What falls due for a home, and noting that it was done. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { completeRecheck } from "../../api/safety.js";
import { SpecForm } from "../../components/spec_form.js";
import { formatDate, localDay } from "../../lib/time.js";
import { readable } from "../../lib/wording.js";
import { say } from "../../state/notices.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/types.d.ts").Household} Household */
/** @typedef {import("../../api/types.d.ts").Recheck} Recheck */

/** @type {import("../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [{ name: "done_on", label: "Done on", kind: "date", isRequired: true }];

/** @param {{ home: Household, recheck: Recheck, onSaved: () => void, onCancel: () => void }} props */
function CompletionForm({ home, recheck, onSaved, onCancel }) {
  const submission = useSubmission();
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async (key) => {
    await completeRecheck(home.id, recheck.id, String(values.done_on), key);
    say(`Recheck of ${recheck.item_label} noted as done.`);
    onSaved();
  });
  return html`<${SpecForm} fields=${FIELDS} start=${{ done_on: localDay(Date.now(), home.zone) }} action="Note as done" isGuarded=${false}
    submission=${submission} onSubmit=${save} onCancel=${onCancel} />`;
}

/**
 * How a recheck stands on a day.
 * @param {Recheck} recheck
 * @param {string} today YYYY-MM-DD
 * @returns {string}
 */
export function recheckWords(recheck, today) {
  if (recheck.done_on) return `done on ${formatDate(recheck.done_on)}`;
  return `${recheck.due_on < today ? "overdue since" : "due on"} ${formatDate(recheck.due_on)}`;
}

/** @param {{ home: Household, onChange: () => void }} props */
export function Rechecks({ home, onChange }) {
  const [opened, setOpened] = useState("");
  const today = localDay(Date.now(), home.zone);
  const close = () => setOpened("");
  const saved = () => {
    close();
    onChange();
  };
  const sorted = [...home.rechecks].sort((left, right) => Number(left.done_on !== null) - Number(right.done_on !== null) || left.due_on.localeCompare(right.due_on));
  return html`<section id="rechecks" class="card" aria-labelledby="rechecks-title">
    <h2 id="rechecks-title">Rechecks</h2>
    ${sorted.length === 0 && html`<p>Nothing falls due.</p>`}
    <ul class="row-list">${sorted.map((recheck) => html`<li key=${recheck.id} class="row-item">
      <div><p><strong>${recheck.item_label}</strong> (${readable(recheck.item_kind).toLowerCase()}):
          <span class=${!recheck.done_on && recheck.due_on < today ? "overdue" : ""}> ${recheckWords(recheck, today)}</span></p>
        <p class="small">${recheck.rule}</p>
        ${opened === recheck.id && html`<${CompletionForm} home=${home} recheck=${recheck} onSaved=${saved} onCancel=${close} />`}</div>
      ${!recheck.done_on && opened !== recheck.id &&
      html`<button type="button" class="button button-quiet" onClick=${() => setOpened(recheck.id)}>Note as done<span class="unseen">: ${recheck.item_label}</span></button>`}
    </li>`)}</ul>
  </section>`;
}
