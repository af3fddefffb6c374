/** Day by day: bars of what was charged, planned and estimated, and the same as a table. */
import { html } from "htm/preact";
import { Details } from "../../../components/details.js";
import { greatestKwh } from "../../../lib/charged_words.js";
import { formatPounds } from "../../../lib/money.js";
import { formatEnergy } from "../../../lib/quantity.js";
import { formatDay } from "../../../lib/time.js";

/** @typedef {import("../../../api/charging_types.d.ts").ChargedDay} ChargedDay */

/** @param {{ name: string, kwh: number, most: number, at: number }} props */
const Bar = ({ name, kwh, most, at }) => kwh > 0 && html`<rect class=${`charged-${name}`} x="0" y=${at} width=${(kwh / most) * 100} height="4" />`;

/** @param {{ day: ChargedDay, most: number }} props */
function DayBar({ day, most }) {
  return html`<svg class="charged-bar" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
    <${Bar} name="home" kwh=${day.home_kwh} most=${most} at=${1} />
    <${Bar} name="estimate" kwh=${day.estimate_kwh} most=${most} at=${1} />
    <${Bar} name="planned" kwh=${day.planned_kwh ?? 0} most=${most} at=${6} />
  </svg>`;
}

/**
 * A day in few words, beside its bar.
 * @param {ChargedDay} day
 * @returns {string}
 */
export function dayWords(day) {
  if (day.estimate_kwh > 0) return `about ${formatEnergy(day.estimate_kwh)} (estimate), cost not known`;
  const planned = day.planned_kwh === null ? "" : `, ${formatEnergy(day.planned_kwh)} planned`;
  if (day.home_kwh === 0 && day.elsewhere_kwh === 0) return `nothing${planned}`;
  const home = day.home_kwh > 0 ? `${formatEnergy(day.home_kwh)}, ${formatPounds(day.cost_pence)}` : "nothing at home";
  return `${home}${day.elsewhere_kwh > 0 ? `, ${formatEnergy(day.elsewhere_kwh)} elsewhere` : ""}${planned}`;
}

/** @type {[string, (day: ChargedDay) => string][]} */
const COLUMNS = [
  ["At home", (day) => (day.estimate_kwh > 0 ? `about ${formatEnergy(day.estimate_kwh)} (estimate)` : formatEnergy(day.home_kwh))],
  ["Planned", (day) => formatEnergy(day.planned_kwh)],
  ["Cost", (day) => (day.estimate_kwh > 0 ? "not known" : formatPounds(day.cost_pence))],
  ["Outside cheap hours", (day) => `${formatEnergy(day.outside_cheap_kwh)}${day.is_spread && day.outside_cheap_kwh > 0 ? " *" : ""}`],
  ["More than needed", (day) => formatPounds(day.dearer_pence)],
  ["Elsewhere", (day) => formatEnergy(day.elsewhere_kwh)],
];

/** @param {{ days: ChargedDay[] }} props */
function DayTable({ days }) {
  return html`<div class="table-box" tabindex="0" role="region" aria-label="Table of days"><table class="table stacking compact dense">
      <caption class="unseen">What was charged on each day, beside the plan</caption>
      <thead><tr><th scope="col">Day</th>${COLUMNS.map(([name]) => html`<th key=${name} scope="col" class="number">${name}</th>`)}</tr></thead>
      <tbody>${days.map((day) => html`<tr key=${day.on}><th scope="row" class="nowrap">${formatDay(day.on)}</th>
        ${COLUMNS.map(([name, words]) => html`<td key=${name} data-name=${name} class="number">${words(day)}</td>`)}</tr>`)}</tbody>
    </table></div>
    ${days.some((day) => day.is_spread && day.outside_cheap_kwh > 0) && html`<p class="small">* From a record without half-hours, spread evenly over its time.</p>`}`;
}

/** @param {{ days: ChargedDay[] }} props */
export function DayBars({ days }) {
  const most = greatestKwh(days);
  const shown = [...days].reverse();
  return html`<section class="stack" aria-labelledby="by-day">
    <h2 id="by-day">Day by day</h2>
    <p class="small legend"><span class="swatch charged-home"></span> charged at home <span class="swatch charged-planned"></span> planned
      <span class="swatch charged-estimate"></span> estimate by miles</p>
    <ol class="charged-days" aria-label="Days, the newest first">${shown.map((day) => html`<li key=${day.on}><span class="nowrap">${formatDay(day.on)}</span>
      <${DayBar} day=${day} most=${most} /><span class="small">${dayWords(day)}</span></li>`)}</ol>
    <${Details} summary="All figures as a table">${() => html`<${DayTable} days=${shown} />`}</${Details}>
  </section>`;
}
