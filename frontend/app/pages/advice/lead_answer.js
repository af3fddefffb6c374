/** What stands below a verdict: shares, miles a day, the chart, what would close a gap, a long journey, the working. */
import { html } from "htm/preact";
import { LeadChart } from "../../charts/lead_chart.js";
import { SHOWN_NIGHTS } from "../../charts/lead_layout.js";
import { Details } from "../../components/details.js";
import { WorkingSteps } from "../../components/working_steps.js";
import { closerWords, hoursWords, marginWords, shareWords } from "../../lib/lead_words.js";
import { formatEnergy, formatMiles } from "../../lib/quantity.js";
import { formatDay } from "../../lib/time.js";
import { LeadLongJourneyCard, PlugInForm } from "./lead_asks.js";

/** @typedef {import("../../api/lead_types.d.ts").LeadVerdict} LeadVerdict */
/** @typedef {import("../../api/lead_types.d.ts").LeadAnswer} LeadAnswer */
/** @typedef {import("../../api/lead_types.d.ts").LeadNight} LeadNight */
/** @typedef {import("../../lib/lead_words.js").LeadAsked} LeadAsked */

/** @param {{ answer: LeadAnswer }} props */
function Figures({ answer }) {
  return html`<dl class="figures">
    <div><dt>Nights that fall short</dt><dd>${shareWords(answer.night_percent)}</dd></div>
    <div><dt>Weeks with such a night</dt><dd>${shareWords(answer.week_percent)}</dd></div>
    <div><dt>It can carry</dt><dd>${answer.carried_miles} miles a day</dd></div>
  </dl>
  <p>That is ${marginWords(answer)}.</p>`;
}

/** @param {{ nights: LeadNight[] }} props */
function NightsTable({ nights }) {
  return html`<div class="table-box" role="region" aria-label="Table of days and nights" tabindex="0"><table class="table table-tight lead-table">
    <caption class="unseen">What each day took, and what the night before it carries</caption>
    <thead><tr><th scope="col">Day</th><th scope="col" class="number">Takes</th><th scope="col" class="number">Night carries</th></tr></thead>
    <tbody>${[...nights].reverse().map((night) => html`<tr key=${night.on}>
      <th scope="row"><span class="nowrap">${formatDay(night.on)}</span><br /><span class="small">${formatMiles(night.miles)}</span></th>
      <td class="number">${formatEnergy(night.need_kwh)}<br /><span class="small">${hoursWords(night.need_minutes)}</span></td>
      <td class="number">${formatEnergy(night.given_kwh)}<br /><span class="small">${hoursWords(night.plugged_minutes)}</span></td></tr>`)}</tbody>
  </table></div>`;
}

/** @param {{ answer: LeadAnswer }} props */
function Closers({ answer }) {
  if (answer.closers.length === 0) return null;
  return html`<section class="card" aria-labelledby="closers-title">
    <h2 id="closers-title">What would close it</h2>
    <p>The cheapest first. Each was tried on the same ${answer.years.toLocaleString("en-GB")} years, alone.</p>
    <ol class="closers row-list">${answer.closers.map((closer) => html`<li key=${closer.kind}>
      <p class="closer-head"><strong>${closer.words}</strong> <span class="tag">${closer.would_close ? "would do" : "not enough alone"}</span></p>
      <p>${closerWords(closer, answer.night_percent)} ${closer.note}</p>
      <${Details} summary=${html`How this comes about<span class="unseen">: ${closer.words}</span>`}>${() => html`<${WorkingSteps} steps=${closer.working} />`}</${Details}>
    </li>`)}</ol>
  </section>`;
}

/** @param {{ verdict: LeadVerdict, answer: LeadAnswer, asked: LeadAsked, onAsk: (more: LeadAsked) => void, isBusy: boolean }} props */
export function LeadAnswerParts({ verdict, answer, asked, onAsk, isBusy }) {
  const count = Math.min(SHOWN_NIGHTS, answer.nights.length);
  const beyond = answer.nights.slice(-count).filter(({ need_kwh: need, given_kwh: given }) => need > given).length;
  return html`
    <section class="card" aria-labelledby="lead-figures-title">
      <h2 id="lead-figures-title">${verdict.first ? "If it were cleared" : "What it comes to"}</h2>
      <${Figures} answer=${answer} />
      ${answer.is_battery && html`<p class="note">Most of what falls short is more than the battery holds between ceiling and reserve: no lead and no charging point would change that.</p>`}
      <${LeadChart} nights=${answer.nights} label=${`The last ${count} days that were kept: ${beyond} took more than the night before carries.`} />
      <${Details} summary="The same as a table">${() => html`<${NightsTable} nights=${answer.nights} />`}</${Details}>
    </section>
    <${Closers} answer=${answer} />
    <${LeadLongJourneyCard} journey=${answer.long_journey} asked=${asked} onAsk=${onAsk} isBusy=${isBusy} />
    <${PlugInForm} asked=${asked} onAsk=${onAsk} />
    <section class="card" aria-labelledby="sure-title">
      <h2 id="sure-title">How sure this is</h2>
      <p>${answer.sure.words}</p>
      <p><a href=${`/cars/${verdict.vehicle_id}/diary`}>Enter more days</a></p>
      <${Details} summary="What is taken for granted">${() => html`<ul>${verdict.assumptions.map((each) => html`<li key=${each}>${each}</li>`)}</ul>`}</${Details}>
      <${Details} summary="How this came about">${() => html`<${WorkingSteps} steps=${answer.working} />`}</${Details}>
    </section>
  `;
}
