/** One tariff: its versions, and for half-hour prices the upload. */
import { html } from "htm/preact";
import { getTariff, listTariffUses } from "../../api/tariffs.js";
import { Empty } from "../../components/empty.js";
import { Facts } from "../../components/facts.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { counted } from "../../lib/quantity.js";
import { homesOn, versionName, versionState } from "../../lib/tariff_words.js";
import { formatRecordInstant } from "../../lib/record_dates.js";
import { formatDate } from "../../lib/time.js";
import { CLOCK_WORDS, TARIFF_KIND_WORDS } from "../../lib/wording.js";
import { useResource } from "../../state/resource.js";
import { PriceUpload } from "./price_upload.js";
import { TakingForm } from "./taking_form.js";

/** @typedef {import("../../api/types.d.ts").Tariff} Tariff */

/** Times of a scheme's own records are shown on the British clock. */
export const SCHEME_ZONE = "Europe/London";

/** @param {{ tariff: Tariff }} props */
function Versions({ tariff }) {
  if (tariff.versions.length === 0) {
    return html`<${Empty} title="No version yet"><p>The first version says what a unit costs and when.</p>
      <p><a class="button button-main" href=${`/tariffs/${tariff.id}/new`}>Prepare the first version</a></p></${Empty}>`;
  }
  const sorted = [...tariff.versions].sort((left, right) => right.valid_from_on.localeCompare(left.valid_from_on));
  return html`<div class="table-box" tabindex="0" role="region" aria-label="Table of versions"><table class="table stacking dense">
    <thead><tr><th scope="col">Version</th><th scope="col">Valid from</th><th scope="col">State</th><th scope="col">Published</th></tr></thead>
    <tbody>${sorted.map((version) => html`<tr key=${version.id}>
      <th scope="row"><a href=${`/tariffs/${tariff.id}/${version.id}`}>${versionName(version)}</a></th>
      <td data-name="Valid from">${formatDate(version.valid_from_on)}</td>
      <td data-name="State">${versionState(tariff, version)}</td>
      <td data-name="Published">${version.published_at ? formatRecordInstant(version.published_at, SCHEME_ZONE, Date.now()) : "not published"}</td>
    </tr>`)}</tbody></table></div>`;
}

/** @param {{ tariffId: string }} props */
export function TariffPage({ tariffId }) {
  const tariff = useResource((reading) => getTariff(tariffId, reading), [tariffId]);
  const uses = useResource((reading) => listTariffUses(reading), []);
  const draft = html`<a class="button button-main" href=${`/tariffs/${tariffId}/new`}>Prepare a new version</a>`;
  return html`<${Page} title=${tariff.data?.name ?? "Tariff"} class="page-admin" actions=${draft} lead=${html`<a href="/tariffs">All tariffs</a>`}>
    <${Loaded} of=${tariff} lines=${3} size="card">${(/** @type {Tariff} */ data) => html`
      <${Facts} class="facts-wide" rows=${[
        ["Prices", TARIFF_KIND_WORDS[data.kind]],
        ["Clock of its times", CLOCK_WORDS[data.clock]],
        ["Homes on it today", uses.data ? counted(homesOn(uses.data.items, tariffId), "home") : "…"],
      ]} />
      <section aria-labelledby="versions-title"><h2 id="versions-title">Versions</h2><${Versions} tariff=${data} /></section>
      <${TakingForm} tariffId=${tariffId} />
      ${data.kind === "half_hourly" && html`<${PriceUpload} tariff=${data} onStored=${tariff.reload} />`}
    `}</${Loaded}>
  </${Page}>`;
}
