/** The figures of one subject: what holds from when to when, how sure it is, where it is from, and what is not known. */
import { html } from "htm/preact";
import { STANDING_WORDS, unknownWords, untilWords, valueWords } from "../../lib/figure_words.js";
import { formatShortDate } from "../../lib/record_dates.js";

/** @typedef {import("../../api/figure_types.d.ts").DatedFigure} DatedFigure */
/** @typedef {import("../../api/figure_types.d.ts").UnknownFigure} UnknownFigure */

/** @param {{ figure: DatedFigure, isAll: boolean }} props */
function KnownRow({ figure, isAll }) {
  const recorded = figure.recorded_by && html`<span class="cell-note">recorded by ${figure.recorded_by}${figure.recorded_at && `, ${formatShortDate(figure.recorded_at)}`}</span>`;
  return html`<tr>
    <th scope="row">${figure.label}${isAll && figure.is_in_force && html`<span class="cell-note">in force today</span>`}</th>
    <td data-name="Figure" class="number"><strong>${valueWords(figure)}</strong></td>
    <td data-name="Holds from"><span>${formatShortDate(figure.from_on)}<span class="cell-note">${untilWords(figure.until_on)}</span></span></td>
    <td data-name="How sure">${STANDING_WORDS[figure.standing]}</td>
    <td data-name="Source"><span>${figure.source}${recorded}</span></td>
  </tr>`;
}

/** @param {{ figure: UnknownFigure }} props */
function UnknownRow({ figure }) {
  return html`<tr class="is-unknown">
    <th scope="row">${figure.label}</th>
    <td data-name="Figure" class="number"><span class="tag tag-not_known">Not known</span></td>
    <td data-name="Holds from">${unknownWords(figure.since_on)}</td>
    <td data-name="How sure">no source read</td>
    <td data-name="Source">none</td>
  </tr>`;
}

/** @param {{ subject: import("../../lib/figure_words.js").Subject, isAll: boolean }} props */
export function SubjectTable({ subject: { subject, known, unknown }, isAll }) {
  const id = `subject-${subject.toLowerCase().replace(/[^a-z]+/g, "-")}`;
  return html`<section><h2 id=${id}>${subject}</h2>
    <div class="table-box" tabindex="0" role="region" aria-labelledby=${id}><table class="table stacking dense figure-table">
      <thead><tr><th scope="col">What</th><th scope="col" class="number">Figure</th><th scope="col">Holds from</th><th scope="col">How sure</th><th scope="col">Source</th></tr></thead>
      <tbody>${known.map((row) => html`<${KnownRow} key=${row.name + row.key + row.from_on} figure=${row} isAll=${isAll} />`)}
        ${unknown.map((row) => html`<${UnknownRow} key=${row.name + row.key} figure=${row} />`)}</tbody>
    </table></div></section>`;
}
