/** Quotes for works at the home: each stands in for the assumed cost of its work. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { addQuote, deleteQuote, getQuote, listQuotes } from "../../../api/upgrades.js";
import { Loaded } from "../../../components/loaded.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { SpecForm } from "../../../components/spec_form.js";
import { formatPounds } from "../../../lib/money.js";
import { formatShortDate } from "../../../lib/record_dates.js";
import { localDay } from "../../../lib/time.js";
import { WORK_WORDS, penceOf } from "../../../lib/upgrade_words.js";
import { choices } from "../../../lib/wording.js";
import { askConfirm } from "../../../state/confirm.js";
import { say } from "../../../state/notices.js";
import { useResource } from "../../../state/resource.js";
import { ownHouseholdId } from "../../../state/session.js";
import { useSubmission } from "../../../state/submission.js";

/** @typedef {import("../../../api/upgrade_types.d.ts").Quote} Quote */
/** @typedef {import("../../../api/upgrade_types.d.ts").Work} Work */

/** @type {import("../../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [
  { name: "kind", label: "Work", kind: "select", options: choices(WORK_WORDS) },
  { name: "cost_pence", label: "What it costs", kind: "decimal", unit: "pounds", hint: "VAT included", isRequired: true },
  { name: "quoted_on", label: "Day of the quote", kind: "date", isRequired: true },
  { name: "note", label: "Note", kind: "text", hint: "The firm, or what is in the price" },
];

/** @param {{ onSaved: () => void, onCancel: () => void }} props */
function QuoteForm({ onSaved, onCancel }) {
  const submission = useSubmission();
  const start = { kind: "point_tethered", cost_pence: "", quoted_on: localDay(Date.now(), "Europe/London"), note: "" };
  const save = (/** @type {import("../../../lib/form_values.js").FormValues} */ values) => submission.run(async (key) => {
    const kind = /** @type {Work} */ (values.kind);
    await addQuote(ownHouseholdId(), { kind, cost_pence: penceOf(String(values.cost_pence)), quoted_on: String(values.quoted_on), note: String(values.note).trim() }, key);
    say("Quote saved. The verdict reckons with it.");
    onSaved();
  });
  return html`<${SpecForm} fields=${FIELDS} start=${start} action="Save quote" submission=${submission} onSubmit=${save} onCancel=${onCancel} />`;
}

/** @param {{ onChange: () => void }} props */
export function Quotes({ onChange }) {
  const quotes = useResource((reading) => listQuotes(ownHouseholdId(), reading), []);
  const [isOpen, setOpen] = useState(false);
  const removal = useSubmission({ onStale: quotes.reload });
  const changed = () => {
    quotes.reload();
    onChange();
  };
  const remove = async (/** @type {Quote} */ { id, kind }) => {
    if (!(await askConfirm({ title: "Delete this quote?", text: `${WORK_WORDS[kind]}: without a quote an assumed cost stands in.`, action: "Delete" }))) return;
    await removal.run(async () => {
      const { etag } = await getQuote(ownHouseholdId(), id);
      await deleteQuote(ownHouseholdId(), id, etag);
      say("Quote deleted.");
      changed();
    });
  };
  return html`<section class="card" aria-labelledby="quotes">
    <h2 id="quotes">Quotes</h2>
    <${ProblemNote} problem=${removal.problem} takesFocus />
    <${Loaded} of=${quotes} lines=${1} size="line">${(/** @type {{ items: Quote[], most: number }} */ { items }) => html`
      ${items.length === 0 && html`<p>None yet: the costs above are assumed until you enter what a firm asks for.</p>`}
      <ul class="row-list">${items.map((quote) => html`<li key=${quote.id} class="row-item">
        <div><p><strong>${formatPounds(quote.cost_pence)}</strong> ${WORK_WORDS[quote.kind]}</p>
          <p class="small">${[formatShortDate(quote.quoted_on), quote.note].filter(Boolean).join(" · ")}</p></div>
        <div class="row-actions"><button type="button" class="button button-quiet" disabled=${removal.isBusy} onClick=${() => remove(quote)}>Delete<span class="unseen"> the quote of ${formatShortDate(quote.quoted_on)}</span></button></div>
      </li>`)}</ul>`}</${Loaded}>
    ${isOpen
      ? html`<${QuoteForm} onSaved=${() => { setOpen(false); changed(); }} onCancel=${() => setOpen(false)} />`
      : html`<button type="button" class="button" onClick=${() => setOpen(true)}>Enter a quote</button>`}
  </section>`;
}
