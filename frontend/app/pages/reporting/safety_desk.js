/** The safety desk: every home by what its evidence says, what is overdue, missing and told; the view is in the address. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { getDesk } from "../../api/safety_desk.js";
import { ClearanceTag } from "../../components/clearance_tag.js";
import { Empty } from "../../components/empty.js";
import { Field } from "../../components/field.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { Pager } from "../../components/pager.js";
import {
  MISSING_WORDS, PAGE_SIZE, SORTS, TOLD_WORDS, changedDesk, filtersOf, isDeskFiltered, readDeskQuery, writeDeskQuery,
} from "../../lib/desk_query.js";
import { CLEARANCE_WORDS } from "../../lib/plan_words.js";
import { counted } from "../../lib/quantity.js";
import { choices } from "../../lib/wording.js";
import { adjust, url } from "../../state/router.js";
import { useResource } from "../../state/resource.js";
import { DeskBulk } from "./desk_bulk.js";
import { DeskTable } from "./desk_table.js";

/** @typedef {import("../../lib/desk_query.js").DeskQuery} DeskQuery */
/** @typedef {import("../../api/types.d.ts").Desk} Desk */

const hrefOf = (/** @type {DeskQuery} */ query) => `/safety${writeDeskQuery(query)}`;
const ANY = { value: "", label: "Any" };

/** @param {{ query: DeskQuery, areas: string[], onChange: (change: Partial<DeskQuery>) => void }} props */
function Filters({ query, areas, onChange }) {
  const places = areas.includes(query.area) || !query.area ? areas : [query.area, ...areas];
  /** @type {import("../../lib/form_values.js").FieldSpec[]} */
  const specs = [
    { name: "clearance", label: "Clearance", kind: "select", options: [ANY, ...choices(CLEARANCE_WORDS)] },
    { name: "missing", label: "Missing", kind: "select", options: [ANY, ...choices(MISSING_WORDS)] },
    { name: "told", label: "Told", kind: "select", options: [ANY, ...choices(TOLD_WORDS)] },
    { name: "area", label: "Area", kind: "select", options: [ANY, ...places.map((area) => ({ value: area, label: area }))] },
    { name: "sort", label: "Sort by", kind: "select", options: SORTS },
    { name: "overdue", label: "Something overdue", kind: "tick" },
  ];
  const values = /** @type {Record<string, any>} */ (query);
  return html`<form class="filters" role="search" onSubmit=${(/** @type {Event} */ event) => event.preventDefault()}>
    ${specs.map((spec) => html`<${Field} key=${spec.name} spec=${spec}
      value=${spec.kind === "tick" ? values[spec.name] === "true" : values[spec.name]}
      onInput=${(/** @type {string | boolean} */ value) => onChange({ [spec.name]: spec.kind === "tick" ? (value ? "true" : "") : value })} />`)}
  </form>`;
}

/** @param {{ desk: Desk, query: DeskQuery }} props */
function Counts({ desk, query }) {
  return html`<ul class="counts" aria-label="Homes by clearance">${desk.counts.map(({ clearance, household_count: count }) => {
    const isHere = query.clearance === clearance;
    return html`<li key=${clearance}><a href=${hrefOf(changedDesk(query, { clearance: isHere ? "" : clearance }))} aria-current=${isHere ? "true" : undefined}>
      <span class="count">${count}</span><${ClearanceTag} clearance=${clearance} /></a></li>`;
  })}</ul>`;
}

/** @param {{ desk: Desk, query: DeskQuery, change: (change: Partial<DeskQuery>) => void, reload: () => void }} props */
function Homes({ desk, query, change, reload }) {
  // A choice holds for the filters it was made under.
  const key = JSON.stringify(filtersOf(query));
  const [choice, setChoice] = useState({ key, ids: /** @type {string[]} */ ([]), isAll: false });
  const mine = choice.key === key ? choice : { key, ids: [], isAll: false };
  const choose = (/** @type {string[]} */ ids, /** @type {boolean} */ isChosen) => {
    const before = mine.isAll ? desk.items.map(({ id }) => id) : mine.ids;
    const rest = before.filter((id) => !ids.includes(id));
    setChoice({ key, ids: isChosen ? [...rest, ...ids] : rest, isAll: false });
  };
  const none = () => setChoice({ key, ids: [], isAll: false });
  if (desk.items.length === 0) {
    return isDeskFiltered(query)
      ? html`<${Empty} title="No home matches these filters"><p><a href="/safety">Show all homes</a></p></${Empty}>`
      : html`<${Empty} title="This scheme has no homes yet"><p>Homes appear here once they are added; until an inspection of an outlet is accepted and checked, its clearance is not known.</p>
          <p><a class="button button-main" href="/households/new">Add a home</a></p></${Empty}>`;
  }
  return html`
    <${DeskBulk} query=${query} total=${desk.total} chosen=${mine.ids} isAllMatching=${mine.isAll} pageCount=${desk.items.length}
      onAllMatching=${() => setChoice({ key, ids: [], isAll: true })} onNone=${none} onDone=${() => { none(); reload(); }} />
    <${DeskTable} rows=${desk.items} sort=${query.sort} onSort=${(/** @type {string} */ sort) => change({ sort })}
      isChosen=${(/** @type {string} */ id) => mine.isAll || mine.ids.includes(id)} onChoose=${choose} />
    <${Pager} page=${query.page} pageSize=${PAGE_SIZE} total=${desk.total} noun="homes"
      hrefOf=${(/** @type {number} */ page) => hrefOf(changedDesk(query, { page }))} />
  `;
}

/** Safety desk. */
export function SafetyDeskPage() {
  const query = readDeskQuery(new URLSearchParams(url.value.split("?")[1] ?? ""));
  const key = writeDeskQuery(query);
  const desk = useResource((reading) => getDesk({ ...filtersOf(query), sort: query.sort, page: query.page, page_size: PAGE_SIZE }, reading), [key]);
  const change = (/** @type {Partial<DeskQuery>} */ wanted) => adjust(hrefOf(changedDesk(query, wanted)));
  return html`<${Page} title="Safety desk" class="page-admin"
    lead="Which homes may charge, by the evidence recorded; what is overdue or missing, and who was told.">
    ${desk.data && html`<${Counts} desk=${desk.data} query=${query} />`}
    <${Filters} query=${query} areas=${desk.data?.areas ?? []} onChange=${change} />
    <p class="unseen" role="status">${desk.isLoading || !desk.data ? "" : `${counted(desk.data.total, "home")} found`}</p>
    <div class=${desk.isLoading && desk.data ? "is-loading" : ""}>
      <${Loaded} of=${desk} lines=${8} size="line">${(/** @type {Desk} */ data) =>
        html`<${Homes} desk=${data} query=${query} change=${change} reload=${desk.reload} />`}</${Loaded}>
    </div>
  </${Page}>`;
}
