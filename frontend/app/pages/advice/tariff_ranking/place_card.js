/** One tariff in its place: the year, its parts as a bar and as figures, what to ask, break-even, the working. */
import { html } from "htm/preact";
import { Details } from "../../../components/details.js";
import { Facts } from "../../../components/facts.js";
import { WorkingSteps } from "../../../components/working_steps.js";
import { formatUnitPrice } from "../../../lib/money.js";
import { formatEnergy } from "../../../lib/quantity.js";
import { barPercent, breakEvenWords, differenceWords, pounds } from "../../../lib/tariff_ranking_words.js";

/** How many places show their parts at once; the others on demand. */
const IN_FULL = 2;

/** @typedef {import("../../../api/tariff_ranking_types.d.ts").RankedTariff} RankedTariff */
/** @typedef {import("../../../api/tariff_ranking_types.d.ts").BreakEven} BreakEven */

/** @param {{ tariff: RankedTariff, items: RankedTariff[] }} props */
function YearBar({ tariff, items }) {
  const parts = [["house", tariff.house_pence], ["car", tariff.car_pence], ["standing", tariff.standing_pence]];
  let from = 0;
  return html`<svg class="year-bar" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
    ${parts.map(([name, pence]) => {
      const width = barPercent(Number(pence), items);
      const x = from;
      from += width;
      return html`<rect key=${name} class=${`part-${name}`} x=${x} y="0" width=${width} height="10" />`;
    })}
  </svg>`;
}

/** @param {{ found: BreakEven, words: string }} props */
function BreakEvenMark({ found, words }) {
  return html`<div class="break-even">
    <p>${words}</p>
    <svg class="break-even-line" viewBox="0 0 100 12" preserveAspectRatio="none" aria-hidden="true">
      <rect class="track" x="0" y="5" width="100" height="3" />
      <rect class="own" x="0" y="5" width=${found.own_share_percent} height="3" />
      ${found.share_percent !== null && html`<rect class="needed" x=${Math.min(99, found.share_percent)} y="0" width="1" height="12" />`}
    </svg>
    <p class="small" aria-hidden="true">Filled: your share of use in its cheap hours.${found.share_percent !== null && " Upright mark: the share at which both cost the same."}</p>
  </div>`;
}

/**
 * @param {RankedTariff} tariff
 * @param {string | null} petrol
 * @returns {string}
 */
function mileWords({ pence_per_mile: mile }, petrol) {
  if (mile === null) return "nothing is charged at home";
  return petrol === null ? formatUnitPrice(mile) : `${formatUnitPrice(Number(mile).toFixed(2))}; petrol ${formatUnitPrice(petrol)}`;
}

/** @param {{ tariff: RankedTariff, items: RankedTariff[], petrol: string | null }} props */
export function PlaceCard({ tariff, items, petrol }) {
  const isShort = tariff.rank > IN_FULL && !tariff.is_present;
  /** @type {[string, unknown][]} */
  const rows = [
    ["House", pounds(tariff.house_pence)],
    ["Cars", `${pounds(tariff.car_pence)} for ${formatEnergy(tariff.car_kwh)}`],
    ["Standing charge", pounds(tariff.standing_pence)],
    ["Of it VAT", pounds(tariff.vat_pence)],
    ["A mile", mileWords(tariff, petrol)],
    ...(tariff.is_present ? [] : /** @type {[string, unknown][]} */ ([["First year, with leaving", pounds(tariff.year_one_pence)]])),
  ];
  const figures = () => html`<${Facts} rows=${rows} />
    ${tariff.break_even && html`<${BreakEvenMark} found=${tariff.break_even} words=${breakEvenWords(tariff, items)} />`}`;
  return html`<li class="card place">
    <div class="place-head"><h3><span class="place-rank" aria-hidden="true">${tariff.rank}</span> ${tariff.name}</h3>
      <p class="place-year"><strong>${pounds(tariff.yearly_pence)}</strong> a year${tariff.is_estimate && ", an estimate"}</p></div>
    <p class="small">${differenceWords(tariff)}</p>
    <${YearBar} tariff=${tariff} items=${items} />
    ${isShort ? null : figures()}
    ${tariff.questions.length > 0 && html`<div><p class="list-title">Ask first</p><ul>${tariff.questions.map((each) => html`<li key=${each}>${each}</li>`)}</ul></div>`}
    <${Details} summary=${html`${isShort ? "Its parts, why, and the working" : "Why, by band, and the working"}<span class="unseen"> of ${tariff.name}</span>`}>${() => html`
      ${isShort && figures()}
      <ul>${tariff.reasons.map((each) => html`<li key=${each}>${each}</li>`)}</ul>
      <div class="table-box" tabindex="0" role="region" aria-label=${`Bands of ${tariff.name}`}><table class="table">
        <thead><tr><th scope="col">Band</th><th scope="col" class="number">A year</th><th scope="col" class="number">Cost</th></tr></thead>
        <tbody>${tariff.bands.map((band) => html`<tr key=${band.name}><th scope="row">${band.name}</th>
          <td class="number">${formatEnergy(band.energy_kwh)}</td><td class="number">${pounds(band.cost_pence)}</td></tr>`)}</tbody></table></div>
      <${WorkingSteps} steps=${tariff.working} />`}</${Details}>
  </li>`;
}
