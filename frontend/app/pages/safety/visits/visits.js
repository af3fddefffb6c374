/** Visits of the scheme: filter, order by risk, pick homes and send one link for a firm's day. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { listVisits } from "../../../api/visits.js";
import { Empty } from "../../../components/empty.js";
import { Loaded } from "../../../components/loaded.js";
import { Page } from "../../../components/page.js";
import { Pager } from "../../../components/pager.js";
import { counted } from "../../../lib/quantity.js";
import { isLinkable } from "../../../lib/visit_words.js";
import { PAGE_SIZE, readVisitQuery, visitsHref } from "../../../lib/visit_query.js";
import { adjust, url } from "../../../state/router.js";
import { useResource } from "../../../state/resource.js";
import { LinkForm } from "./link_form.js";
import { LinkMade } from "./link_made.js";
import { Links } from "./links.js";
import { VisitTabs } from "./tabs.js";
import { VisitFilters } from "./visit_filters.js";
import { VisitTable } from "./visit_table.js";

/** @typedef {import("../../../api/visit_types.d.ts").VisitRow} VisitRow */
/** @typedef {import("../../../api/types.d.ts").Paged<VisitRow>} VisitList */
/** @typedef {import("../../../lib/visit_query.js").VisitQuery} VisitQuery */

/** @param {{ isFiltered: boolean }} props */
function NoVisits({ isFiltered }) {
  if (isFiltered) return html`<${Empty} title="No visit matches these filters"><p><a href="/visits">Show all visits</a></p></${Empty}>`;
  return html`<${Empty} title="No visit has been asked for yet">
    <p>Ask for one on a home's page: choose a home under <a href="/households">Households</a>. Members can ask too.</p></${Empty}>`;
}

/** @param {{ chosen: VisitRow[], onOpen: () => void, onClear: () => void }} props */
function Selection({ chosen, onOpen, onClear }) {
  const without = chosen.filter((visit) => !isLinkable(visit)).length;
  return html`<div class="note selection" role="status">
    <p><strong>${counted(chosen.length, "visit")} chosen.</strong> ${without > 0 && `${counted(without, "visit")} of them without an agreed date: agree it first, the home opens on its day.`}</p>
    <div class="form-actions"><button type="button" class="button button-main" disabled=${without > 0} onClick=${onOpen}>Send one link for ${chosen.length === 1 ? "it" : "them"}</button>
      <button type="button" class="button" onClick=${onClear}>Choose none</button></div></div>`;
}

/** Visits. */
export function VisitsPage() {
  const query = readVisitQuery(url.value);
  const { links, ...wanted } = query;
  const list = useResource((reading) => listVisits({ ...wanted, page_size: PAGE_SIZE }, reading), [visitsHref({ ...query, links: 1 })]);
  const [chosen, setChosen] = useState(/** @type {VisitRow[]} */ ([]));
  const [isSending, setSending] = useState(false);
  const [made, setMade] = useState(/** @type {import("../../../api/visit_types.d.ts").InspectionLinkMade | null} */ (null));
  const [turn, setTurn] = useState(0);
  const change = (/** @type {Partial<VisitQuery>} */ other) => adjust(visitsHref({ ...query, page: 1, ...other }));
  const choose = (/** @type {VisitRow[]} */ rows, /** @type {boolean} */ isIn) => {
    const ids = new Set(rows.map(({ id }) => id));
    setChosen((old) => [...old.filter(({ id }) => !ids.has(id)), ...(isIn ? rows : [])]);
  };
  const sent = (/** @type {import("../../../api/visit_types.d.ts").InspectionLinkMade} */ link) => {
    setMade(link);
    setSending(false);
    setChosen([]);
    setTurn((old) => old + 1);
    list.reload();
  };
  return html`<${Page} title="Visits" class="page-admin" lead="Inspections asked for, agreed and done. What an electrician records through a link counts once it has been accepted.">
    <${VisitTabs} />
    <${LinkMade} link=${made} onClose=${() => setMade(null)} />
    <${VisitFilters} query=${query} onChange=${change} />
    ${chosen.length > 0 && !isSending && html`<${Selection} chosen=${chosen} onOpen=${() => setSending(true)} onClear=${() => setChosen([])} />`}
    ${isSending && html`<${LinkForm} visits=${chosen} onSent=${sent} onCancel=${() => setSending(false)} />`}
    <div class=${list.isLoading && list.data ? "is-loading" : ""}><${Loaded} of=${list} lines=${6} size="line">${(/** @type {VisitList} */ { items, total }) =>
      items.length === 0
        ? html`<${NoVisits} isFiltered=${Boolean(query.state || query.area)} />`
        : html`<${VisitTable} rows=${items} chosen=${chosen} onChoose=${choose} />
          <${Pager} page=${query.page} pageSize=${PAGE_SIZE} total=${total} noun="visits" hrefOf=${(/** @type {number} */ page) => visitsHref({ ...query, page })} />`
    }</${Loaded}></div>
    <${Links} key=${turn} page=${links} hrefOf=${(/** @type {number} */ page) => visitsHref({ ...query, links: page })} />
  </${Page}>`;
}
