/** A safety officer's decisions on a home: made, ended and kept, beside the words of the rule that bounds them. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { getHousehold } from "../../../api/home.js";
import { listOverrides } from "../../../api/overrides.js";
import { Empty } from "../../../components/empty.js";
import { Loaded } from "../../../components/loaded.js";
import { Page } from "../../../components/page.js";
import { Pager } from "../../../components/pager.js";
import { useResource } from "../../../state/resource.js";
import { url } from "../../../state/router.js";
import { session } from "../../../state/session.js";
import { ExtensionForm } from "./extension_form.js";
import { OverrideCard } from "./override_card.js";
import { StricterForm } from "./stricter_form.js";

/** @typedef {import("../../../api/types.d.ts").Household} Household */
/** @typedef {import("../../../api/check_types.d.ts").Override} Override */
/** @typedef {import("../../../api/types.d.ts").Paged<Override>} OverrideList */

const PAGE_SIZE = 20;

function Rule() {
  return html`<div class="note"><p class="note-title">What a decision can and cannot do</p><ul>
    <li>Stricter: of evidence and decision, the stricter counts. It acts at once, and everybody concerned is told.</li>
    <li>A due date: an outlet's inspection is put off once, before it has come, by at most 14 days, with a visit booked by then.</li>
    <li>Never milder: no decision lifts “not known”, a reported sign or a code of an inspection.</li></ul>
    <p class="small">Rule of this service.</p></div>`;
}

/** @param {{ home: Household, isOwn: boolean, onMade: () => void }} props */
function Making({ home, isOwn, onMade }) {
  const [opened, setOpened] = useState("");
  const close = () => setOpened("");
  const made = () => {
    close();
    onMade();
  };
  if (home.outlets.length + home.leads.length === 0) return html`<p>No outlet or lead is recorded, so there is nothing to decide on.</p>`;
  if (opened === "stricter") return html`<${StricterForm} home=${home} onMade=${made} onCancel=${close} />`;
  if (opened === "extension") return html`<${ExtensionForm} home=${home} onMade=${made} onCancel=${close} />`;
  return html`<div class="form-actions"><button type="button" class="button button-main" onClick=${() => setOpened("stricter")}>Make an answer stricter</button>
      ${!isOwn && home.outlets.length > 0 && html`<button type="button" class="button" onClick=${() => setOpened("extension")}>Put a due date off</button>`}</div>
    ${isOwn && html`<p class="small">This is your own home: you can make an answer stricter. Putting a date off, or ending a decision, is for another safety officer.</p>`}`;
}

/** @param {{ home: Household }} props */
function Decisions({ home }) {
  const path = `/households/${home.id}/overrides`;
  const page = Math.max(1, Number(new URLSearchParams(url.value.split("?")[1] ?? "").get("page")) || 1);
  const list = useResource((reading) => listOverrides(home.id, { page, page_size: PAGE_SIZE }, reading), [home.id, page]);
  const isOfficer = session.value?.roles.includes("safety_officer") === true;
  const isOwn = session.value?.household_id === home.id;
  return html`<${Rule} />
    ${isOfficer ? html`<${Making} home=${home} isOwn=${isOwn} onMade=${list.reload} />` : html`<p class="note">Only a safety officer makes or ends a decision. You can read them.</p>`}
    <${Loaded} of=${list} lines=${2} size="card">${(/** @type {OverrideList} */ { items, total }) => items.length === 0
      ? html`<${Empty} title="No decision has been made"><p>Evidence alone speaks for this home.</p></${Empty}>`
      : html`${items.map((one) => html`<${OverrideCard} key=${one.id} override=${one} home=${home} isOfficer=${isOfficer} isOwn=${isOwn} onEnded=${list.reload} />`)}
        ${total > PAGE_SIZE && html`<${Pager} page=${page} pageSize=${PAGE_SIZE} total=${total} noun="decisions" hrefOf=${(/** @type {number} */ to) => (to > 1 ? `${path}?page=${to}` : path)} />`}`}</${Loaded}>`;
}

/** Decisions. @param {{ householdId: string }} props */
export function OverridesPage({ householdId }) {
  const home = useResource((reading) => getHousehold(householdId, reading), [householdId]);
  return html`<${Page} title=${home.data ? `Decisions on ${home.data.reference}` : "Decisions"} class="page-admin"
    lead=${html`<a href="/safety">Safety desk</a> · <a href=${`/households/${householdId}/safety`}>Safety file</a> · <a href=${`/households/${householdId}`}>The home</a>`}>
    <${Loaded} of=${home} lines=${2} size="card">${(/** @type {Household} */ data) => html`<${Decisions} home=${data} />`}</${Loaded}>
  </${Page}>`;
}
