/** All that was reported in a home, what stands of it, and taking a mistaken entry back: one page for both sides. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { listReports } from "../../../api/checks.js";
import { getHousehold } from "../../../api/home.js";
import { Empty } from "../../../components/empty.js";
import { Loaded } from "../../../components/loaded.js";
import { Page } from "../../../components/page.js";
import { Pager } from "../../../components/pager.js";
import { useResource } from "../../../state/resource.js";
import { url } from "../../../state/router.js";
import { ownHouseholdId, session } from "../../../state/session.js";
import { ReportCard } from "./report_card.js";
import { StillStands } from "./still_stands.js";

/** @typedef {import("../../../api/check_types.d.ts").SafetyReport} SafetyReport */
/** @typedef {import("../../../api/types.d.ts").Paged<SafetyReport>} ReportList */
/** @typedef {import("../../../api/types.d.ts").Household} Household */

const PAGE_SIZE = 20;

/**
 * Why the one who looks at it cannot take an entry back; "" where they can.
 * @param {string[]} roles
 * @param {string | null | undefined} ownId the reader's own home
 * @param {string} householdId
 * @returns {string}
 */
export function whyNotWithdraw(roles, ownId, householdId) {
  if (!roles.includes("safety_officer")) return "Entered by mistake? Only a safety officer of your scheme can withdraw it, with a photo and a reason. Until then it stands.";
  return ownId === householdId ? "This is your own home: another safety officer has to withdraw what was a mistake." : "";
}

/** @param {{ home: Household, path: string, isOwn: boolean }} props */
function Reports({ home, path, isOwn }) {
  const page = Math.max(1, Number(new URLSearchParams(url.value.split("?")[1] ?? "").get("page")) || 1);
  const list = useResource((reading) => listReports(home.id, reading, { page, page_size: PAGE_SIZE }), [home.id, page]);
  const [withdrawn, setWithdrawn] = useState("");
  const why = whyNotWithdraw(session.value?.roles ?? [], session.value?.household_id, home.id);
  const done = (/** @type {string} */ id) => {
    setWithdrawn(id);
    list.reload();
  };
  return html`${why && html`<p class="note">${why}</p>`}
    ${withdrawn && html`<${StillStands} key=${withdrawn} householdId=${home.id} />`}
    <${Loaded} of=${list} lines=${2} size="card">${(/** @type {ReportList} */ { items, total }) => items.length === 0
      ? html`<${Empty} title="Nothing has been reported"><p>${isOwn ? html`Is something wrong? <a href="/incident">Report it now</a>.` : "Signs found in a check and incidents appear here."}</p></${Empty}>`
      : html`${items.map((report) => html`<${ReportCard} key=${report.id} report=${report} home=${home} mayWithdraw=${!why} onWithdrawn=${done} />`)}
        ${total > PAGE_SIZE && html`<${Pager} page=${page} pageSize=${PAGE_SIZE} total=${total} noun="reports" hrefOf=${(/** @type {number} */ to) => (to > 1 ? `${path}?page=${to}` : path)} />`}`}</${Loaded}>`;
}

/** @param {{ householdId: string, path: string, isOwn: boolean, lead: unknown }} props */
function ReportsOf({ householdId, path, isOwn, lead }) {
  const home = useResource((reading) => getHousehold(householdId, reading), [householdId]);
  const title = isOwn || !home.data ? "What was reported" : `What was reported: ${home.data.reference}`;
  return html`<${Page} title=${title} class=${isOwn ? "page-member" : "page-admin"} lead=${lead}>
    <${Loaded} of=${home} lines=${2} size="card">${(/** @type {Household} */ data) => html`<${Reports} home=${data} path=${path} isOwn=${isOwn} />`}</${Loaded}>
  </${Page}>`;
}

/** Any home's, for those who run the scheme. @param {{ householdId: string }} props */
export function HomeReportsPage({ householdId }) {
  return html`<${ReportsOf} householdId=${householdId} path=${`/households/${householdId}/reports`} isOwn=${false}
    lead=${html`<a href="/safety">Safety desk</a> · <a href=${`/households/${householdId}/safety`}>Safety file</a> · <a href=${`/households/${householdId}`}>The home</a>`} />`;
}

/** A member's own. */
export function OwnReportsPage() {
  return html`<${ReportsOf} householdId=${ownHouseholdId()} path="/reports" isOwn=${true} lead="Every sign and incident reported in your home, and what became of it." />`;
}
