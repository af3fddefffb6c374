/** The scheme's homes: search, filters, sort and page stand in the address, so a view can be kept and sent. */
import { html } from "htm/preact";
import { listHouseholds } from "../../api/households.js";
import { listTariffs } from "../../api/tariffs.js";
import { Empty } from "../../components/empty.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { Pager } from "../../components/pager.js";
import { PAGE_SIZE, changedQuery, isFiltered, readHouseholdQuery, writeHouseholdQuery } from "../../lib/household_query.js";
import { counted } from "../../lib/quantity.js";
import { adjust, url } from "../../state/router.js";
import { useResource } from "../../state/resource.js";
import { HouseholdFilters } from "./household_filters.js";
import { HouseholdTable } from "./household_table.js";
import { HouseholdTotals } from "./household_totals.js";

/** @typedef {import("../../lib/household_query.js").HouseholdQuery} HouseholdQuery */
/** @typedef {import("../../api/types.d.ts").Paged<import("../../api/types.d.ts").HouseholdRow>} HouseholdList */

const hrefOf = (/** @type {HouseholdQuery} */ query) => `/households${writeHouseholdQuery(query)}`;

/** @param {{ query: HouseholdQuery }} props */
function NoHomes({ query }) {
  if (isFiltered(query)) {
    return html`<${Empty} title="No home matches these filters"><p><a href="/households">Show all homes</a></p></${Empty}>`;
  }
  return html`<${Empty} title="This scheme has no homes yet">
    <p>Add the first one; then record its outlet, its inspection, its car and its tariff.</p>
    <p><a class="button button-main" href="/households/new">Add a home</a></p></${Empty}>`;
}

/** @param {{ list: HouseholdList, query: HouseholdQuery, change: (change: Partial<HouseholdQuery>) => void }} props */
function HomeList({ list, query, change }) {
  if (list.items.length === 0) return html`<${NoHomes} query=${query} />`;
  return html`
    <${HouseholdTotals} rows=${list.items} total=${list.total} />
    <${HouseholdTable} rows=${list.items} sort=${query.sort} onSort=${(/** @type {string} */ sort) => change({ sort })} />
    <${Pager} page=${query.page} pageSize=${PAGE_SIZE} total=${list.total} noun="homes"
      hrefOf=${(/** @type {number} */ page) => hrefOf(changedQuery(query, { page }))} />
  `;
}

/** Households. */
export function HouseholdsPage() {
  const query = readHouseholdQuery(new URLSearchParams(url.value.split("?")[1] ?? ""));
  const key = writeHouseholdQuery(query);
  const list = useResource((reading) => listHouseholds({ ...query, page_size: PAGE_SIZE }, reading), [key]);
  const tariffs = useResource((reading) => listTariffs(reading), []);
  const change = (/** @type {Partial<HouseholdQuery>} */ wanted) => adjust(hrefOf(changedQuery(query, wanted)));
  return html`<${Page} title="Households" class="page-admin" actions=${html`<a class="button button-main" href="/households/new">Add a home</a>`}>
    <${HouseholdFilters} query=${query} tariffs=${tariffs.data?.items ?? []} onChange=${change} />
    <p class="unseen" role="status">${list.isLoading || !list.data ? "" : `${counted(list.data.total, "home")} found`}</p>
    <div class=${list.isLoading && list.data ? "is-loading" : ""}>
      <${Loaded} of=${list} lines=${8} size="line">${
        (/** @type {HouseholdList} */ data) => html`<${HomeList} list=${data} query=${query} change=${change} />`
      }</${Loaded}>
    </div>
  </${Page}>`;
}
