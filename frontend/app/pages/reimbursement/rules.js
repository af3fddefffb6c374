/** How the scheme pays: each rule from its day on, appended and never edited. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { appendRule, listRules } from "../../api/claims.js";
import { Empty } from "../../components/empty.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { SpecForm } from "../../components/spec_form.js";
import { METHOD_WORDS, penceOf, pounds } from "../../lib/claim_words.js";
import { bodyOf, startValues } from "../../lib/form_values.js";
import { formatDate } from "../../lib/time.js";
import { choices } from "../../lib/wording.js";
import { askConfirm } from "../../state/confirm.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { useSubmission } from "../../state/submission.js";
import { MoneyLinks } from "./money_links.js";

/** @typedef {import("../../api/claim_types.d.ts").ReimbursementRule} Rule */

/** @type {import("../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [
  { name: "from_on", label: "From", kind: "date", isRequired: true, hint: "Trips from this day on are paid so; earlier ones keep their rule." },
  {
    name: "company_method", label: "Company cars are paid by", kind: "select", options: choices(METHOD_WORDS),
    hint: "The advisory rate needs no receipts. The electricity's cost needs charging records and odometer readings of every month.",
  },
  { name: "monthly_cap_pence", label: "Most a member is paid for a month", kind: "decimal", unit: "pounds", hint: "Such as 250 or 250.50; empty for no limit." },
  { name: "claim_within_days", label: "Days after a month's end to claim it", kind: "number", unit: "days", step: 1, min: 1, isNullable: true, hint: "Empty for no limit." },
];

/** @param {{ onSaved: () => void, onCancel: () => void }} props */
function RuleForm({ onSaved, onCancel }) {
  const submission = useSubmission();
  const save = async (/** @type {import("../../lib/form_values.js").FormValues} */ values) => {
    const body = /** @type {any} */ ({ ...bodyOf(FIELDS, values), monthly_cap_pence: penceOf(String(values.monthly_cap_pence)) });
    const isSure = await askConfirm({
      title: `Add this rule from ${formatDate(body.from_on)}?`, text: "A rule cannot be edited or taken out; a later one for the same day takes its place. Claims already sent keep what they were sent with.", action: "Add the rule",
    });
    if (isSure) await submission.run(async (key) => {
      await appendRule(body, key);
      say("Rule added.");
      onSaved();
    });
  };
  return html`<section class="card" aria-labelledby="rule-title"><h2 id="rule-title">Add a rule</h2>
    <${SpecForm} fields=${FIELDS} start=${startValues(FIELDS)} action="Add the rule" submission=${submission} onSubmit=${save} onCancel=${onCancel} /></section>`;
}

/** @param {{ rules: Rule[] }} props */
function Rules({ rules }) {
  return html`<div class="table-box" tabindex="0" role="region" aria-label="Table of rules"><table class="table stacking dense">
    <caption class="unseen">The rules the scheme pays by, the newest first</caption>
    <thead><tr><th scope="col">From</th><th scope="col">Company cars</th><th scope="col" class="number">Most for a month</th><th scope="col">Claimed within</th><th scope="col">Recorded</th></tr></thead>
    <tbody>${rules.map((rule) => html`<tr key=${rule.id}><th scope="row">${formatDate(rule.from_on)}</th><td data-name="Company cars">${METHOD_WORDS[rule.company_method]}</td>
      <td data-name="Most for a month" class="number">${rule.monthly_cap_pence === null ? "no limit" : pounds(rule.monthly_cap_pence)}</td>
      <td data-name="Claimed within">${rule.claim_within_days === null ? "no limit" : `${rule.claim_within_days} days of the month's end`}</td>
      <td data-name="Recorded">${formatDate(rule.recorded_at)}</td></tr>`)}</tbody>
  </table></div>`;
}

/** Reimbursement rules. */
export function RulesPage() {
  const rules = useResource(listRules, []);
  const [isOpen, setOpen] = useState(false);
  const saved = () => {
    setOpen(false);
    rules.reload();
  };
  return html`<${Page} title="How the scheme pays" class="page-admin" lead="What is paid for business miles, from which day on. Not tax advice."
    actions=${!isOpen && html`<button type="button" class="button button-main" onClick=${() => setOpen(true)}>Add a rule</button>`}>
    <${MoneyLinks} />
    ${isOpen && html`<${RuleForm} onSaved=${saved} onCancel=${() => setOpen(false)} />`}
    <${Loaded} of=${rules} lines=${2} size="line">${(/** @type {{ items: Rule[] }} */ { items }) => items.length === 0
      ? html`<${Empty} title="No rule has been recorded"><p>Until there is one nothing can be claimed: what would be paid is not known.</p></${Empty}>`
      : html`<${Rules} rules=${items} />`}</${Loaded}>
    <section class="card" aria-labelledby="meaning-title"><h2 id="meaning-title">What the rules mean</h2>
      <p><strong>A member's own car</strong> is always paid by the approved mileage rates of the <a href="/figures">figures</a>: one rate up to a number of miles in a tax year, a lower one above.</p>
      <p><strong>A company car</strong>, also one by salary sacrifice, is paid either by the advisory rate of the day, apart for charging at home and at public points, or by what its electricity cost, shared out by business miles and all miles of the month.</p>
      <p>A figure that is not known for a day stops the claim of that day, and says so. This is not tax advice: ask who advises you before you change how you pay.</p></section>
  </${Page}>`;
}
