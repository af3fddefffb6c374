/** One statement: who is owed what, by which claims, and the same as files for payroll. */
import { html } from "htm/preact";
import { getStatement, statementFile } from "../../api/claims.js";
import { CopyButton } from "../../components/copy_button.js";
import { Details } from "../../components/details.js";
import { Facts } from "../../components/facts.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { claimMiles, claimName, monthWords, pounds } from "../../lib/claim_words.js";
import { counted } from "../../lib/quantity.js";
import { formatRecordInstant } from "../../lib/record_dates.js";
import { useResource } from "../../state/resource.js";
import { ClaimLines } from "./claim_lines.js";
import { MoneyLinks } from "./money_links.js";
import { statementName } from "./statements.js";

/** @typedef {import("../../api/claim_types.d.ts").Statement} Statement */
/** @typedef {import("../../api/claim_types.d.ts").StatedPerson} StatedPerson */

/** @param {{ person: StatedPerson }} props */
function Person({ person }) {
  return html`<tr>
    <th scope="row">${person.name}<span class="cell-note">${person.reference}</span></th>
    <td data-name="Claims"><div>${person.claims.map((claim) => html`<${Details} key=${claim.claim_id} class="in-cell"
      summary=${`${claimName(claim)}: ${pounds(claim.total_pence)}`}>${() => html`<${ClaimLines} lines=${claim.lines} /><p><a href=${`/claims/${claim.claim_id}`}>Open the claim</a></p>`}</${Details}>`)}</div></td>
    <td data-name="Miles" class="number">${claimMiles(person.miles)}</td>
    <td data-name="Owed" class="number"><strong>${pounds(person.total_pence)}</strong></td>
  </tr>`;
}

/** @param {{ statement: Statement }} props */
function Body({ statement }) {
  const { document: stated } = statement;
  const corrections = stated.people.flatMap(({ claims }) => claims).filter(({ corrects_id: corrects }) => corrects).length;
  /** @type {[string, unknown][]} */
  const facts = [
    ["Owed in all", pounds(stated.totals.total_pence)], ["People", counted(stated.people.length, "person", "people")],
    ["Claims", counted(stated.totals.claim_count, "claim")], ["Miles", claimMiles(stated.totals.miles)],
    ["Corrections", corrections === 0 ? "none" : String(corrections)], ["Made", formatRecordInstant(statement.made_at, "Europe/London", Date.now())],
  ];
  return html`
    <${Facts} rows=${facts} class="facts-wide" />
    <div class="form-actions"><a class="button button-main" href=${statementFile(statement.id, "csv")} download>Get it as CSV</a>
      <a class="button" href=${statementFile(statement.id, "xlsx")} download>Get it as XLSX</a>
      <a class="button" href=${statementFile(statement.id, "json")} download>Get it as JSON</a></div>
    <div class="table-box" tabindex="0" role="region" aria-label="People on the statement"><table class="table stacking dense statement-people">
      <caption class="unseen">Who is owed what for ${monthWords(stated.month)}</caption>
      <thead><tr><th scope="col">Person</th><th scope="col">Claims</th><th scope="col" class="number">Miles</th><th scope="col" class="number">Owed</th></tr></thead>
      <tbody>${stated.people.map((person) => html`<${Person} key=${person.account_id} person=${person} />`)}</tbody>
    </table></div>
    <section class="card" aria-labelledby="digest-title"><h2 id="digest-title">What never changes</h2>
      <p>A statement is kept as it was made. Whoever has its JSON file can work out this SHA-256 digest again; if one figure were another, so would be the digest.</p>
      <p class="secret-address"><code>${statement.digest}</code></p><${CopyButton} text=${statement.digest} label="Copy the digest" />
      <div class="stated-notes"><p class="small">${stated.rounding_rule}</p><p class="small">${stated.vat_note}</p><p class="small">${stated.caution}</p></div></section>
  `;
}

/** @param {{ statementId: string }} props */
export function StatementPage({ statementId }) {
  const statement = useResource((reading) => getStatement(statementId, reading), [statementId]);
  return html`<${Page} title=${statement.data ? `Statement for ${statementName(statement.data)}` : "Statement"} class="page-admin" lead=${html`<a href="/statements">All statements</a>`}>
    <${MoneyLinks} />
    <${Loaded} of=${statement} lines=${3} size="card">${(/** @type {Statement} */ data) => html`<${Body} statement=${data} />`}</${Loaded}>
  </${Page}>`;
}
