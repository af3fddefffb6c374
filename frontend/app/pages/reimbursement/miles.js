/** Business miles of one month: trips entered in seconds, what they come to, and the claim. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { listOwnClaims } from "../../api/claims.js";
import { getHousehold } from "../../api/home.js";
import { listVehicles } from "../../api/households.js";
import { listHoldings, listTrips } from "../../api/trips.js";
import { Details } from "../../components/details.js";
import { Empty } from "../../components/empty.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { isMonth, monthAway, monthWords, taxYearFrom } from "../../lib/claim_words.js";
import { counted } from "../../lib/quantity.js";
import { localDay } from "../../lib/time.js";
import { useResource } from "../../state/resource.js";
import { url } from "../../state/router.js";
import { ownHouseholdId } from "../../state/session.js";
import { CarHoldings } from "./car_holdings.js";
import { companyCars } from "./home_shares.js";
import { MilesElsewhereForm } from "./miles_elsewhere.js";
import { MonthPreview } from "./month_preview.js";
import { OwnClaims } from "./own_claims.js";
import { TripEntryForm } from "./trip_entry.js";
import { TripImportForm } from "./trip_import.js";
import { TripJourneys } from "./trip_journeys.js";
import { TripList } from "./trip_list.js";

/** @typedef {{ cars: { id: string, label: string }[], today: string }} Home */

/** @param {{ signal: AbortSignal }} reading */
async function readHome(reading) {
  const [home, vehicles] = await Promise.all([getHousehold(ownHouseholdId(), reading), listVehicles(ownHouseholdId(), reading)]);
  return { ...home, data: { cars: vehicles.data.items, today: localDay(Date.now(), home.data.zone) } };
}

/** @param {string} month @param {{ signal: AbortSignal }} reading */
async function readMonth(month, reading) {
  const [trips, holdings, claims] = await Promise.all([
    listTrips(ownHouseholdId(), { month, page_size: 200 }, reading), listHoldings(ownHouseholdId(), reading), listOwnClaims(ownHouseholdId(), { page_size: 50 }, reading),
  ]);
  return { ...trips, data: { trips: trips.data, holdings: holdings.data.items, claims: claims.data.items } };
}

/** @param {{ month: string, today: string }} props */
function MonthLinks({ month, today }) {
  const next = monthAway(month, 1);
  const before = monthAway(month, -1);
  return html`<nav class="pager miles-months" aria-label="Months"><a class="button" href=${`/miles?month=${before}`}>${monthWords(before)}</a>
    <strong>${monthWords(month)}</strong>
    ${next <= today.slice(0, 7) && html`<a class="button" href=${`/miles?month=${next}`}>${monthWords(next)}</a>`}</nav>`;
}

/** @param {{ home: Home, month: string }} props */
function Month({ home: { cars, today }, month }) {
  const kept = useResource((reading) => readMonth(month, reading), [month]);
  const [version, setVersion] = useState(0);
  const changed = () => {
    kept.reload();
    setVersion((old) => old + 1);
  };
  const day = month === today.slice(0, 7) ? today : `${month}-01`;
  return html`<${Loaded} of=${kept} lines=${3} size="card">${(/** @type {any} */ { trips, holdings, claims }) => {
    const open = trips.items.filter((/** @type {{ claim_id: string | null }} */ trip) => trip.claim_id === null);
    const draft = claims.find((/** @type {import("../../api/claim_types.d.ts").ClaimRow} */ claim) => claim.month === month && claim.state === "draft");
    return html`
      <${CarHoldings} cars=${cars} holdings=${holdings} month=${month} today=${today} onChange=${changed} />
      <${TripEntryForm} key=${month} cars=${cars} today=${today} day=${day} last=${trips.items[0] ?? null} onSaved=${changed} />
      <${Details} class="card" summary="Take trips from your journeys">${() => html`<${TripJourneys} onSaved=${changed} />`}</${Details}>
      <${Details} class="card" summary="Bring a list of trips in">${() => html`<${TripImportForm} car=${cars[0].label} today=${today} onSaved=${changed} />`}</${Details}>
      <${TripList} month=${month} trips=${trips} cars=${cars} today=${today} onChange=${changed} />
      ${draft && html`<div class="note"><p class="note-title">A claim for this month has been begun and not sent</p><p><a href=${`/miles/${draft.id}`}>Go on with it</a></p></div>`}
      ${!draft && open.length > 0 && html`<${MonthPreview} month=${month} version=${version} cars=${companyCars(holdings)} />`}
      <${Details} class="card" summary="Miles claimed elsewhere">${() => html`<${MilesElsewhereForm} yearFrom=${taxYearFrom(`${month}-28`)} onSaved=${changed} />`}</${Details}>
      <section class="card" aria-labelledby="claims-title"><h2 id="claims-title">Your claims</h2>
        ${claims.length > 0 && html`<p class="small">${counted(claims.length, "claim")}, the newest first.</p>`}<${OwnClaims} claims=${claims} /></section>
    `;
  }}</${Loaded}>`;
}

/** Business miles. */
export function MilesPage() {
  const asked = new URLSearchParams(url.value.split("?")[1] ?? "").get("month") ?? "";
  const home = useResource(readHome, []);
  return html`<${Page} title="Business miles" class="page-member" lead=${html`<a href="/money">All about money</a>. What you drive for work, and what your employer owes you for it. Not tax advice.`}>
    <${Loaded} of=${home} lines=${3} size="card">${(/** @type {Home} */ data) => {
      if (data.cars.length === 0) return html`<${Empty} title="This home has no car yet"><p>Your scheme's administrator enters cars; business trips belong to one.</p></${Empty}>`;
      const month = isMonth(asked) && asked <= data.today.slice(0, 7) ? asked : data.today.slice(0, 7);
      return html`<${MonthLinks} month=${month} today=${data.today} /><${Month} key=${month} home=${data} month=${month} />`;
    }}</${Loaded}>
  </${Page}>`;
}
