/** Is it safe to use? Each outlet and each lead with its word, amps, reasons and next step; what was reported; cautions. */
import { html } from "htm/preact";
import { listReports } from "../../api/checks.js";
import { getClearance } from "../../api/extensions.js";
import { getHousehold } from "../../api/home.js";
import { Cautions, WhatItIsNot } from "../../components/cautions.js";
import { Details } from "../../components/details.js";
import { Empty } from "../../components/empty.js";
import { Later } from "../../components/later.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { leadSteps, outletSteps } from "../../lib/next_steps.js";
import { keptStopAnswer } from "../../lib/stop_answer.js";
import { LEAD_KIND_WORDS, OUTLET_KIND_WORDS } from "../../lib/wording.js";
import { useResource } from "../../state/resource.js";
import { ownHouseholdId } from "../../state/session.js";
import { CarPairs } from "./outlets/car_pairs.js";
import { ExtensionLeads } from "./outlets/extension_leads.js";
import { OpenReports } from "./outlets/open_reports.js";
import { SettingPhoto } from "./outlets/setting_photo.js";
import { StandingCard } from "./outlets/standing_card.js";

/** @typedef {import("../../api/types.d.ts").Household} Household */
/** @typedef {import("../../api/check_types.d.ts").SafetyReport} SafetyReport */

const loadVisits = () => import("./ask_visit.js").then((part) => part.HomeVisits);
const loadHeat = () => import("../../charts/heat_chart.js").then((part) => part.HeatChart);

/** @param {Household} home */
function cautionsFor(home) {
  /** @type {import("../../lib/caution_words.js").CautionName[]} */
  const names = ["stop", "fuse", "extension", "route", "home", "not_known", "consent"];
  if (home.outlets.some(({ kind }) => kind === "socket_13a")) names.unshift("socket_current");
  if (home.outlets.some(({ place }) => place !== "indoors")) names.push("lost_neutral");
  return names;
}

/** @typedef {import("../../api/extension_types.d.ts").CarPair} CarPair */

/** @param {{ home: Household, reports: SafetyReport[] | null, pairs: CarPair[], reload: () => void }} props */
function Standing({ home, reports, pairs, reload }) {
  const open = (reports ?? []).filter(({ state }) => state === "open");
  const outletOf = (/** @type {string} */ id) => home.outlets.find((outlet) => outlet.id === id);
  return html`
    ${open.length > 0 && html`<div class="note note-stop"><p class="note-title">Charging is stopped where a report stands</p>
      ${keptStopAnswer(home.id) && html`<p><a href="/stop-answer">What to do now</a>, as it was shown</p>`}</div>`}
    ${home.clearances.length === 0 && html`<${Empty} title="No outlet has been recorded for this home"><p>Answer the <a href="/survey">home survey</a>, or ask your scheme's administrator to record where the car is plugged in.</p></${Empty}>`}
    ${home.clearances.map((clearance) => html`<${StandingCard} key=${clearance.outlet_id} id=${`outlet-${clearance.outlet_id}`} label=${clearance.outlet_label}
      kind=${OUTLET_KIND_WORDS[outletOf(clearance.outlet_id)?.kind ?? ""] ?? "Outlet"} standing=${clearance} steps=${outletSteps(clearance)} zone=${home.zone} />`)}
    ${home.lead_clearances.map((clearance) => {
      const lead = home.leads.find(({ id }) => id === clearance.lead_id);
      return html`<${StandingCard} key=${clearance.lead_id} id=${`lead-${clearance.lead_id}`} label=${clearance.lead_label} kind=${LEAD_KIND_WORDS[lead?.kind ?? ""] ?? "Lead"}
        standing=${clearance} steps=${leadSteps(clearance)} zone=${home.zone}>
        ${lead?.kind === "mode_2" && html`<${SettingPhoto} householdId=${home.id} lead=${lead} onSaved=${reload} />`}
      </${StandingCard}>`;
    })}
    <${CarPairs} pairs=${pairs} />
    <${ExtensionLeads} home=${home} onChange=${reload} />
    ${home.outlets.length > 0 && html`<${Later} load=${loadVisits} props=${{ home }} />`}
    <${OpenReports} householdId=${home.id} reports=${open} zone=${home.zone} />
    <${Details} class="card" summary="Why a few amps less keep a joint cool">${() => html`<${Later} load=${loadHeat} />`}</${Details}>
    <${Cautions} names=${cautionsFor(home)} />
    <${WhatItIsNot} />
  `;
}

/** The member's outlets and leads. */
export function OutletsPage() {
  const householdId = ownHouseholdId();
  const home = useResource((reading) => getHousehold(householdId, reading), [householdId]);
  const clearance = useResource((reading) => getClearance(householdId, reading), [householdId]);
  const reload = () => {
    home.reload();
    clearance.reload();
  };
  const reports = useResource((reading) => listReports(householdId, reading), [householdId]);
  return html`<${Page} title="Is it safe to use?" class="page-member" lead="Charging is only planned where recorded evidence allows it. Without evidence the answer is not known, and you charge elsewhere."
      actions=${html`<a class="button button-main" href="/check">Do the check</a><a class="button" href="/incident">Report a sign</a>`}>
    <${Loaded} of=${home} lines=${2} size="card">${(/** @type {Household} */ data) =>
      html`<${Standing} home=${data} reports=${reports.data?.items ?? null} pairs=${clearance.data?.pairs ?? []} reload=${reload} />`}</${Loaded}>
    ${reports.problem && html`<div class="note note-warn"><p>What was reported could not be read just now. <button type="button" class="button" onClick=${reports.reload}>Read it again</button></p></div>`}
    <p class="small"><a href="/survey">The home survey</a> tells the electrician and the scheme what you know of your wiring.</p>
    <p class="small"><a href="/safety-file">Your home's safety file</a> holds all that was recorded, decided and shown, also as at an earlier day. <a href="/reports">What was reported</a> says what became of each sign, and why one was withdrawn.</p>
  </${Page}>`;
}
