/** The prices of a published version, for reading. */
import { html } from "htm/preact";
import { Facts } from "../../components/facts.js";
import { formatUnitPrice } from "../../lib/money.js";
import { monthWords, sheetName } from "../../lib/rate_bands.js";
import { formatDate } from "../../lib/time.js";
import { DAY_KIND_WORDS } from "../../lib/wording.js";
import { DayPicture } from "./day_picture.js";

/** @typedef {import("../../api/types.d.ts").Version} Version */
/** @typedef {import("../../api/types.d.ts").Sheet} Sheet */
/** @typedef {import("../../api/types.d.ts").BandWindow} BandWindow */

/**
 * A window in words.
 * @param {BandWindow} window
 * @returns {string}
 */
export function windowWords(window) {
  const days = window.day_kinds.length === 3 ? "every day" : window.day_kinds.map((kind) => DAY_KIND_WORDS[kind].toLowerCase()).join(" and ");
  const until = window.ends_at === "00:00" ? "24:00" : window.ends_at;
  return `${window.starts_at} to ${until}, ${days}${window.months.length === 12 ? "" : `, ${monthWords(window.months)}`}`;
}

/** @param {{ sheet: Sheet, isBanded: boolean }} props */
function SheetView({ sheet, isBanded }) {
  return html`<section class="card" aria-label=${sheetName(sheet)}>
    <h3>${sheetName(sheet)}</h3>
    <p>Standing charge ${formatUnitPrice(sheet.standing_pence_per_day)} a day</p>
    ${isBanded && html`<table class="table table-tight"><caption class="unseen">Bands</caption>
      <thead><tr><th scope="col">Band</th><th scope="col" class="number">Price per kWh</th><th scope="col">When</th></tr></thead>
      <tbody>${sheet.bands.map((band) => html`<tr key=${band.name}><th scope="row">${band.name}</th><td class="number">${formatUnitPrice(band.price_pence_per_kwh)}</td>
        <td>${band.is_otherwise ? "all other times" : band.windows.map((window, place) => html`<span class="line" key=${place}>${windowWords(window)}</span>`)}</td></tr>`)}</tbody></table>
    <${DayPicture} sheet=${sheet} />`}
  </section>`;
}

/** @param {{ version: Version, tariff: import("../../api/types.d.ts").Tariff }} props */
export function VersionSheets({ version, tariff }) {
  return html`<h2>Prices of this version</h2>
    <${Facts} class="facts-wide" rows=${[
      ["Valid from", formatDate(version.valid_from_on)],
      ["VAT", `${version.vat_percent}%, ${version.vat_included ? "included in the prices" : "not included in the prices"}`],
    ]} />
    ${version.sheets.map((sheet, place) => html`<${SheetView} key=${place} sheet=${sheet} isBanded=${tariff.kind === "banded"} />`)}`;
}
