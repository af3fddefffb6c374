/** Statements for payroll: made of a month's approved claims, never changed afterwards. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { countClaims, listStatements, makeStatement } from "../../api/claims.js";
import { Empty } from "../../components/empty.js";
import { Field } from "../../components/field.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { Pager } from "../../components/pager.js";
import { ProblemNote } from "../../components/problem_note.js";
import { lastMonths, monthAway, monthWords, pounds } from "../../lib/claim_words.js";
import { counted } from "../../lib/quantity.js";
import { formatRecordInstant } from "../../lib/record_dates.js";
import { localDay } from "../../lib/time.js";
import { askConfirm } from "../../state/confirm.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { go, url } from "../../state/router.js";
import { useSubmission } from "../../state/submission.js";
import { MoneyLinks } from "./money_links.js";

/** @typedef {import("../../api/claim_types.d.ts").StatementRow} StatementRow */
/** @typedef {import("../../api/claim_types.d.ts").SchemeClaims} SchemeClaims */

const ZONE = "Europe/London";
const PAGE_SIZE = 50;
const MONTHS_SHOWN = 24;

/** What a statement is called: "November 2026" or "November 2026, statement 2". @param {StatementRow} row @returns {string} */
export const statementName = ({ month, ordinal }) => (ordinal > 1 ? `${monthWords(month)}, statement ${ordinal}` : monthWords(month));

function MakeOne() {
  const today = localDay(Date.now(), ZONE);
  const [month, setMonth] = useState(monthAway(today.slice(0, 7), -1));
  const { isBusy, problem, run } = useSubmission();
  const waiting = useResource((reading) => countClaims("approved", reading), []);
  const spec = /** @type {const} */ ({ name: "month", label: "Month", kind: "select", options: lastMonths(today, MONTHS_SHOWN) });
  const make = async () => {
    const isSure = await askConfirm({
      title: `Make the statement for ${monthWords(month)}?`,
      text: "It takes every approved claim of that month, and of earlier months, that stands on none yet. It never changes afterwards: what comes later goes on another one.",
      action: "Make the statement",
    });
    if (isSure) await run(async (key) => {
      const { data } = await makeStatement(month, key);
      say(`Statement for ${monthWords(month)} made: ${counted(data.claim_count, "claim")}, ${pounds(data.total_pence)}.`);
      go(`/statements/${data.id}`, { isAsked: true });
    });
  };
  return html`<section class="card" aria-labelledby="make-title"><h2 id="make-title">Make a statement</h2>
    <${Loaded} of=${waiting} lines=${1} size="line">${(/** @type {SchemeClaims} */ { total, total_pence: pence }) => html`
      <p>${total === 0 ? html`No approved claim waits for a statement. <a href="/claims?state=sent">Claims that wait to be approved</a>` : html`<strong>${counted(total, "approved claim")}</strong> of all months stand on no statement yet: ${pounds(pence)}.`}</p>`}</${Loaded}>
    <${ProblemNote} problem=${problem} takesFocus />
    <div class="form-fields make-statement"><${Field} spec=${spec} value=${month} onInput=${setMonth} />
      <button type="button" class="button button-main" disabled=${isBusy || waiting.data?.total === 0} onClick=${make}>${isBusy ? "Making…" : "Make the statement"}</button></div></section>`;
}

/** @param {{ rows: StatementRow[] }} props */
function Rows({ rows }) {
  return html`<div class="table-box" tabindex="0" role="region" aria-label="Table of statements"><table class="table stacking dense">
    <caption class="unseen">Statements with their claims, total and when they were made</caption>
    <thead><tr><th scope="col">Statement</th><th scope="col" class="number">Claims</th><th scope="col" class="number">Total</th><th scope="col">Made</th><th scope="col">Digest</th></tr></thead>
    <tbody>${rows.map((row) => html`<tr key=${row.id}><th scope="row"><a href=${`/statements/${row.id}`}>${statementName(row)}</a></th>
      <td data-name="Claims" class="number">${row.claim_count}</td><td data-name="Total" class="number"><strong>${pounds(row.total_pence)}</strong></td>
      <td data-name="Made">${formatRecordInstant(row.made_at, ZONE, Date.now())}</td><td data-name="Digest"><code>${row.digest.slice(0, 12)}…</code></td></tr>`)}</tbody>
  </table></div>`;
}

/** Statements. */
export function StatementsPage() {
  const page = Math.max(1, Math.trunc(Number(new URLSearchParams(url.value.split("?")[1] ?? "").get("page"))) || 1);
  const statements = useResource((reading) => listStatements({ page, page_size: PAGE_SIZE }, reading), [page]);
  return html`<${Page} title="Statements" class="page-admin" lead="Each month's approved claims for payroll. A statement says what is owed; it is no payslip and not tax advice.">
    <${MoneyLinks} />
    <${MakeOne} />
    <${Loaded} of=${statements} lines=${4} size="line">${(/** @type {import("../../api/types.d.ts").Paged<StatementRow>} */ { items, total }) =>
      items.length === 0
        ? html`<${Empty} title="No statement has been made yet"><p>Approve the month's claims, then make its statement above.</p></${Empty}>`
        : html`<${Rows} rows=${items} /><${Pager} page=${page} pageSize=${PAGE_SIZE} total=${total} noun="statements" hrefOf=${(/** @type {number} */ next) => `/statements?page=${next}`} />`}</${Loaded}>
  </${Page}>`;
}
