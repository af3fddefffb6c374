/** The scheme's claims: what waits to be decided, found by month and state, approved many at once; the view is in the address. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { MOST_CLAIMS, listClaims } from "../../api/claims.js";
import { Empty } from "../../components/empty.js";
import { Field } from "../../components/field.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { NONE, choose, chooseAll } from "../../lib/claim_choice.js";
import { SHOWN_STATES, readClaimQuery, writeClaimQuery } from "../../lib/claim_query.js";
import { STATE_WORDS, claimMiles, lastMonths, monthWords, pounds } from "../../lib/claim_words.js";
import { counted } from "../../lib/quantity.js";
import { localDay } from "../../lib/time.js";
import { useResource } from "../../state/resource.js";
import { adjust, url } from "../../state/router.js";
import { ApprovalReport, ClaimsBulk } from "./claims_bulk.js";
import { ClaimsTable } from "./claims_table.js";
import { MoneyLinks } from "./money_links.js";

/** @typedef {import("../../lib/claim_query.js").ClaimQuery} ClaimQuery */
/** @typedef {import("../../api/claim_types.d.ts").SchemeClaims} SchemeClaims */
/** @typedef {import("./claims_bulk.js").Done} Done */

const MONTHS_SHOWN = 24;
const hrefOf = (/** @type {ClaimQuery} */ query) => `/claims${writeClaimQuery(query)}`;

/** @param {{ query: ClaimQuery, onChange: (change: Partial<ClaimQuery>) => void }} props */
function Filters({ query, onChange }) {
  const months = lastMonths(localDay(Date.now(), "Europe/London"), MONTHS_SHOWN);
  const other = query.month && !months.some(({ value }) => value === query.month) ? [{ value: query.month, label: monthWords(query.month) }] : [];
  const month = /** @type {const} */ ({ name: "month", label: "Month", kind: "select", options: [{ value: "", label: "Every month" }, ...other, ...months] });
  const state = /** @type {const} */ ({
    name: "state", label: "State", kind: "select",
    options: [{ value: "", label: "Every state" }, ...SHOWN_STATES.map((value) => ({ value, label: (/** @type {Record<string, string>} */ (STATE_WORDS))[value] }))],
  });
  return html`<form class="filters" role="search" onSubmit=${(/** @type {Event} */ event) => event.preventDefault()}>
    <${Field} spec=${month} value=${query.month} onInput=${(/** @type {string} */ value) => onChange({ month: value })} />
    <${Field} spec=${state} value=${query.state} onInput=${(/** @type {string} */ value) => onChange({ state: value })} /></form>`;
}

/** @param {{ claims: SchemeClaims, query: ClaimQuery }} props */
function Counts({ claims, query }) {
  return html`<ul class="counts" aria-label="Claims by state">${claims.counts.map(({ state, claim_count: count, total_pence: pence }) => {
    const isHere = query.state === state;
    return html`<li key=${state}><a href=${hrefOf({ ...query, state: isHere ? "" : state })} aria-current=${isHere ? "true" : undefined}>
      <span class="count">${count}</span><span>${STATE_WORDS[state]}<span class="cell-note">${pounds(pence)}</span></span></a></li>`;
  })}</ul>`;
}

/** @param {{ claims: SchemeClaims, query: ClaimQuery, onDone: (done: Done) => void }} props */
function Found({ claims, query, onDone }) {
  const key = hrefOf(query);
  // A choice holds for the view it was made under.
  const [kept, setKept] = useState({ key, choice: NONE });
  const choice = kept.key === key ? kept.choice : NONE;
  const put = (/** @type {import("../../lib/claim_choice.js").Choice} */ next) => setKept({ key, choice: next });
  const onChoose = (/** @type {string} */ id, /** @type {boolean} */ isOn, /** @type {boolean} */ isRange) => put(choose(choice, claims.items, id, isOn, isRange));
  if (claims.items.length === 0) {
    return query.month || query.state
      ? html`<${Empty} title="No claim matches these filters"><p><a href="/claims">Show all claims</a></p></${Empty}>`
      : html`<${Empty} title="No claim has been sent yet"><p>Members enter business trips under Money and send a claim for each month. What they send appears here.</p></${Empty}>`;
  }
  return html`
    <p><strong>${counted(claims.total, "claim")}</strong>: ${pounds(claims.total_pence)}, ${claimMiles(claims.miles)}.${claims.total > MOST_CLAIMS && ` The first ${MOST_CLAIMS} are shown: choose a month to see the others.`}</p>
    <${ClaimsBulk} claims=${claims} choice=${choice} onAll=${() => put(chooseAll(claims.items))} onNone=${() => put(NONE)} onDone=${(/** @type {Done} */ done) => { put(NONE); onDone(done); }} />
    <${ClaimsTable} rows=${claims.items} isChosen=${(/** @type {string} */ id) => choice.ids.has(id)} onChoose=${onChoose}
      onAll=${(/** @type {boolean} */ isOn) => put(isOn ? chooseAll(claims.items) : NONE)} />
  `;
}

/** Claims of the scheme. */
export function ClaimsPage() {
  const query = readClaimQuery(new URLSearchParams(url.value.split("?")[1] ?? ""));
  const claims = useResource((reading) => listClaims(query, reading), [hrefOf(query)]);
  const change = (/** @type {Partial<ClaimQuery>} */ wanted) => adjust(hrefOf({ ...query, ...wanted }));
  const [done, setDone] = useState(/** @type {Done | null} */ (null));
  const approved = (/** @type {Done} */ next) => {
    setDone(next);
    claims.reload();
  };
  return html`<${Page} title="Claims for business miles" class="page-admin"
    lead="What members drove for work and what is due for it. Where they drove from and to is theirs alone. Not tax advice.">
    <${MoneyLinks} />
    ${claims.data && html`<${Counts} claims=${claims.data} query=${query} />`}
    <${Filters} query=${query} onChange=${change} />
    ${done && html`<${ApprovalReport} done=${done} onClose=${() => setDone(null)} />`}
    <p class="unseen" role="status">${claims.isLoading || !claims.data ? "" : `${counted(claims.data.total, "claim")} found`}</p>
    <div class=${claims.isLoading && claims.data ? "stack is-loading" : "stack"}><${Loaded} of=${claims} lines=${8} size="line">${(/** @type {SchemeClaims} */ data) =>
      html`<${Found} claims=${data} query=${query} onDone=${approved} />`}</${Loaded}></div>
  </${Page}>`;
}
