/** Recorded inspections: the document beside what was recorded; a safety officer accepts or refuses. */
import { html } from "htm/preact";
import { listInspections } from "../../../api/visits.js";
import { Empty } from "../../../components/empty.js";
import { Field } from "../../../components/field.js";
import { Loaded } from "../../../components/loaded.js";
import { Page } from "../../../components/page.js";
import { Pager } from "../../../components/pager.js";
import { NOT_VERIFIED } from "../../../lib/inspection_words.js";
import { adjust, url } from "../../../state/router.js";
import { useResource } from "../../../state/resource.js";
import { session } from "../../../state/session.js";
import { InspectionCard } from "./inspection_card.js";
import { VisitTabs } from "./tabs.js";

/** @typedef {import("../../../api/visit_types.d.ts").DecidedInspection} DecidedInspection */

const PAGE_SIZE = 20;
/** @type {Record<string, string>} */
const STATES = { waiting: "Waiting to be accepted", accepted: "Accepted", refused: "Refused" };

/** @type {import("../../../lib/form_values.js").FieldSpec} */
const STATE = { name: "state", label: "Show", kind: "select", options: Object.entries(STATES).map(([value, label]) => ({ value, label })) };

/** @param {string} state @param {number} page */
function hrefOf(state, page) {
  const params = new URLSearchParams();
  if (state !== "waiting") params.set("state", state);
  if (page > 1) params.set("page", String(page));
  const text = params.toString();
  return `/inspections${text && `?${text}`}`;
}

/** Inspections to accept. */
export function InspectionsPage() {
  const params = new URLSearchParams(url.value.split("?")[1] ?? "");
  const state = STATES[params.get("state") ?? ""] ? String(params.get("state")) : "waiting";
  const page = Math.max(1, Number(params.get("page")) || 1);
  const list = useResource((reading) => listInspections({ state, page, page_size: PAGE_SIZE }, reading), [state, page]);
  const isOfficer = session.value?.roles.includes("safety_officer") === true;
  return html`<${Page} title="Inspections" class="page-admin" lead=${`What electricians recorded through a link. ${NOT_VERIFIED}`}>
    <${VisitTabs} />
    ${!isOfficer && html`<p class="note">Only a safety officer can accept or refuse an inspection. You can read what was recorded and its document.</p>`}
    <div class="filters"><${Field} spec=${STATE} value=${state} onInput=${(/** @type {string} */ value) => adjust(hrefOf(value, 1))} /></div>
    <${Loaded} of=${list} lines=${3}>${(/** @type {import("../../../api/types.d.ts").Paged<DecidedInspection>} */ { items, total }) => items.length === 0
      ? html`<${Empty} title=${state === "waiting" ? "Nothing waits to be accepted" : "None"}><p>${state === "waiting" ? "What an electrician who is not on the list records through a link appears here." : "Choose another list above."}</p></${Empty}>`
      : html`${items.map((one) => html`<${InspectionCard} key=${one.id} inspection=${one} isOfficer=${isOfficer} onChange=${list.reload} />`)}
        <${Pager} page=${page} pageSize=${PAGE_SIZE} total=${total} noun="inspections" hrefOf=${(/** @type {number} */ wanted) => hrefOf(state, wanted)} />`}</${Loaded}>
  </${Page}>`;
}
