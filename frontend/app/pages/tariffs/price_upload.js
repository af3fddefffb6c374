/** Upload half-hour prices as CSV; says what was stored and which half-hours are still missing. */
import { html } from "htm/preact";
import { useId, useState } from "preact/hooks";
import { storePrices } from "../../api/tariffs.js";
import { ProblemNote } from "../../components/problem_note.js";
import { counted } from "../../lib/quantity.js";
import { formatInstant } from "../../lib/time.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/types.d.ts").Tariff} Tariff */
/** @typedef {import("../../api/types.d.ts").PricesStored} PricesStored */

const ZONE = "Europe/London";

/** @param {{ stored: PricesStored }} props */
function StoredNote({ stored }) {
  return html`<div class="note" role="status">
    <p class="note-title">${counted(stored.stored_count, "half-hour price")} stored, ${stored.changed_count} of them new or changed</p>
    ${stored.missing.length === 0
      ? html`<p>No half-hour is missing in the days covered.</p>`
      : html`<p>Missing, and so not known:</p>
          <ul>${stored.missing.map((gap) => html`<li key=${gap.region + gap.starts_at}>${gap.region ? `Region ${gap.region}: ` : ""}${formatInstant(gap.starts_at, ZONE)} to ${formatInstant(gap.ends_at, ZONE)}</li>`)}</ul>`}
    ${stored.changed_count > 0 && html`<p>Affected homes are being replanned. <a href="/runs">See the progress</a></p>`}
  </div>`;
}

/**
 * What is stored already, in words.
 * @param {Tariff["series"]} series
 * @returns {string}
 */
export function seriesWords(series) {
  if (!series || series.count === 0) return "No half-hour price has been stored yet.";
  return `${counted(series.count, "half-hour price")} stored, from ${formatInstant(series.first_at, ZONE)} to ${formatInstant(series.last_at, ZONE)}.`;
}

/** @param {{ tariff: Tariff, onStored: () => void }} props */
export function PriceUpload({ tariff, onStored }) {
  const id = useId();
  const submission = useSubmission();
  const [file, setFile] = useState(/** @type {File | null} */ (null));
  const [stored, setStored] = useState(/** @type {PricesStored | null} */ (null));
  const choose = (/** @type {{ currentTarget: HTMLInputElement }} */ event) => {
    setFile(event.currentTarget.files?.[0] ?? null);
    setStored(null);
    submission.clear();
  };
  const send = (/** @type {Event} */ event) => {
    event.preventDefault();
    if (!file) return;
    submission.run(async () => {
      setStored((await storePrices(tariff.id, await file.text())).data);
      onStored();
    });
  };
  return html`<section class="card" aria-labelledby="upload-title">
    <h2 id="upload-title">Half-hour prices</h2>
    <p>${seriesWords(tariff.series)}</p>
    <form class="form" onSubmit=${send}>
      <${ProblemNote} problem=${submission.problem} takesFocus labelOf=${() => ""} />
      <div class="field"><label for=${id}>CSV file</label>
        <p class="hint" id=${`${id}-hint`}>Columns starts_at, price_pence_per_kwh and, where prices differ by region, region. Times with their offset,
          such as 2027-01-05T16:30:00+00:00. Prices may be negative.</p>
        <input id=${id} type="file" accept=".csv,text/csv" required aria-describedby=${`${id}-hint`} onChange=${choose} /></div>
      <div class="form-actions"><button class="button button-main" disabled=${submission.isBusy}>${submission.isBusy ? "Storing…" : "Store these prices"}</button></div>
    </form>
    ${stored && html`<${StoredNote} stored=${stored} />`}
  </section>`;
}
