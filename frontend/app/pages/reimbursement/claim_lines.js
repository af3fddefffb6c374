/** What a claim comes to, line by line, with the working of each, the figures behind it, and how it is rounded. */
import { html } from "htm/preact";
import { Details } from "../../components/details.js";
import { Facts } from "../../components/facts.js";
import { WorkingSteps } from "../../components/working_steps.js";
import { LINE_WORDS, STANDING_WORDS, claimMiles, partWords, pounds } from "../../lib/claim_words.js";
import { sentence } from "../../lib/problem.js";
import { counted } from "../../lib/quantity.js";
import { formatShortDate } from "../../lib/record_dates.js";
import { readable } from "../../lib/wording.js";

/** @typedef {import("../../api/claim_types.d.ts").ClaimLine} ClaimLine */
/** @typedef {import("../../api/claim_types.d.ts").Reckoning} Reckoning */

/** @param {{ line: ClaimLine }} props */
function LineWorking({ line }) {
  return html`<${Details} class="in-cell" summary="Working">${() => html`
    ${line.parts.length > 0 && html`<ul>${line.parts.map((part, place) => html`<li key=${place}>${partWords(part)}</li>`)}</ul>`}
    <${WorkingSteps} steps=${line.working} />`}</${Details}>`;
}

/** @param {{ line: ClaimLine, hasWay: boolean }} props hasWay: the member's own view names from where to where */
function Line({ line, hasWay }) {
  const way = hasWay && line.origin && line.destination ? `${line.origin} to ${line.destination}` : "";
  return html`<tr>
    <th scope="row">${line.on_date ? formatShortDate(line.on_date) : LINE_WORDS[line.kind]}
      ${way && html`<span class="cell-note">${way}</span>`}
      ${line.reason && html`<span class="cell-note">${line.reason}</span>`}</th>
    <td data-name="Car">${line.vehicle_label || "all cars"}</td>
    <td data-name="Paid by"><span>${LINE_WORDS[line.kind]}<span class="cell-note">${line.text}</span></span></td>
    <td data-name="Miles" class="number">${Number(line.miles) === 0 ? "" : claimMiles(line.miles)}</td>
    <td data-name="Due" class="number"><strong>${pounds(line.pence)}</strong></td>
    <td data-name="Working"><div><${LineWorking} line=${line} /></div></td>
  </tr>`;
}

/** @param {{ lines: ClaimLine[], hasWay?: boolean }} props */
export function ClaimLines({ lines, hasWay = false }) {
  if (lines.length === 0) return html`<p>No line could be worked out yet.</p>`;
  return html`<div class="table-box" tabindex="0" role="region" aria-label="Lines of the claim"><table class="table stacking compact dense claim-lines">
    <caption class="unseen">Each trip with its miles, how it is paid and what is due for it</caption>
    <thead><tr><th scope="col">Trip</th><th scope="col">Car</th><th scope="col">Paid by</th><th scope="col" class="number">Miles</th>
      <th scope="col" class="number">Due</th><th scope="col">Working</th></tr></thead>
    <tbody>${lines.map((line, place) => html`<${Line} key=${line.trip_id ?? place} line=${line} hasWay=${hasWay} />`)}</tbody>
  </table></div>`;
}

/** @param {{ figures: Reckoning["figures"] }} props */
function Figures({ figures }) {
  return html`<ul class="figure-list">${figures.map((figure) => html`<li key=${figure.name + figure.key + figure.from_on}>
    <p><strong>${readable(figure.name)}${figure.key && `, ${readable(figure.key).toLowerCase()}`}</strong>: ${Number(figure.value).toLocaleString("en-GB", { maximumFractionDigits: 6 })} ${figure.unit}, from ${formatShortDate(figure.from_on)}</p>
    <p class="small">${readable(STANDING_WORDS[figure.standing] ?? figure.standing)}. <span class="source">Source: ${figure.source}</span></p></li>`)}</ul>`;
}

/** What keeps a claim from being sent, in words. @param {{ blockers: Reckoning["blockers"] }} props */
export function Blockers({ blockers }) {
  if (blockers.length === 0) return null;
  return html`<div class="note note-warn"><p class="note-title">Not known yet, so it cannot be sent</p>
    <ul>${blockers.map(({ trip_id: trip, on_date: on, what, rule }, place) => html`<li key=${`${trip}-${place}`}>${on && html`<strong>${formatShortDate(on)}</strong>: `}${sentence(what)} ${sentence(rule)}</li>`)}</ul></div>`;
}

/**
 * What is due, as far as it is known.
 * @param {Reckoning} reckoning
 * @returns {string}
 */
export function dueWords({ blockers, lines, total_pence: pence }) {
  if (blockers.length === 0) return pounds(pence);
  return lines.length === 0 ? "not known" : `${pounds(pence)} so far`;
}

/**
 * The sum with everything behind it.
 * @param {{ reckoning: Reckoning, hasWay?: boolean, title?: string, children?: unknown }} props
 */
export function ClaimReckoning({ reckoning, hasWay = false, title = "What it comes to", children }) {
  const trips = reckoning.lines.filter(({ trip_id: trip }) => trip !== null).length;
  return html`<section class="card" aria-labelledby="reckoning-title">
    <h2 id="reckoning-title">${title}</h2>
    <${Facts} class="facts-wide" rows=${[["Due", dueWords(reckoning)], ["Miles", claimMiles(reckoning.miles)], ["Trips", counted(trips, "trip")]]} />
    <${Blockers} blockers=${reckoning.blockers} />
    <${ClaimLines} lines=${reckoning.lines} hasWay=${hasWay} />
    <${Details} summary="How the total is worked out">${() => html`
      <${WorkingSteps} steps=${reckoning.working} />
      ${reckoning.figures.length > 0 && html`<h3>Figures used</h3><${Figures} figures=${reckoning.figures} />`}
      <p class="small">${reckoning.rounding_rule}</p>
      <p class="small">${reckoning.vat_note}</p>
      <p class="small">${reckoning.tax_note}</p>`}</${Details}>
    <p class="small">${reckoning.caution}</p>
    ${children}
  </section>`;
}
