/** The delivery record: which e-mail went to which home, what became of it, and sending it again. */
import { html } from "htm/preact";
import { listMail, resendMail } from "../../api/reminders.js";
import { Empty } from "../../components/empty.js";
import { Field } from "../../components/field.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { Pager } from "../../components/pager.js";
import { ProblemNote } from "../../components/problem_note.js";
import { formatInstant } from "../../lib/time.js";
import { readable } from "../../lib/wording.js";
import { askConfirm } from "../../state/confirm.js";
import { say } from "../../state/notices.js";
import { adjust, url } from "../../state/router.js";
import { useResource } from "../../state/resource.js";
import { session } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/types.d.ts").MailRecord} MailRecord */
/** @typedef {import("../../api/types.d.ts").Paged<MailRecord>} MailList */
/** @typedef {{ status: string, kind: string }} Filters */

const PAGE_SIZE = 50;
const ZONE = "Europe/London";
const PROBLEM = "problem";
const STATUSES = ["waiting", "claimed", "sent", "refused", "given_up", "unknown", "suppressed"];
const KINDS = ["safety_stop", "safety_overdue", "safety_ring", "recheck_due", "check_asked", "recheck_overdue", "plan_changed", "coming_shortfall", "inspection_link"];
const FAILED = ["refused", "given_up", "unknown"];

/** @type {import("../../lib/form_values.js").FieldSpec} */
const STATUS = {
  name: "status", label: "Status", kind: "select",
  options: [{ value: "", label: "Any" }, { value: PROBLEM, label: "Did not arrive" }, ...STATUSES.map((value) => ({ value, label: readable(value) }))],
};
/** @type {import("../../lib/form_values.js").FieldSpec} */
const KIND = { name: "kind", label: "Kind", kind: "select", options: [{ value: "", label: "Any" }, ...KINDS.map((value) => ({ value, label: readable(value) }))] };

/**
 * @param {Filters} filters
 * @param {number} page
 * @returns {string}
 */
function hrefOf({ status, kind }, page) {
  const params = new URLSearchParams();
  if (status) params.set("status", status);
  if (kind) params.set("kind", kind);
  if (page > 1) params.set("page", String(page));
  const text = params.toString();
  return `/mail${text && `?${text}`}`;
}

/** @param {{ mail: MailRecord, onSent: () => void }} props */
function Resend({ mail, onSent }) {
  const submission = useSubmission();
  const send = async () => {
    const whose = mail.person ?? mail.household_reference ?? "its recipient";
    const isSure = await askConfirm({ title: `Send it to ${whose} again?`, text: `The same words go out once more (${readable(mail.kind).toLowerCase()}).`, action: "Send again" });
    if (isSure && (await submission.run(async (key) => void (await resendMail(mail.id, key))))) {
      say("It is in the queue again.");
      onSent();
    }
  };
  return html`<button type="button" class="button button-quiet" disabled=${submission.isBusy} onClick=${send}>Send again<span class="unseen">: ${readable(mail.kind)}, ${formatInstant(mail.queued_at, ZONE)}</span></button>
    <${ProblemNote} problem=${submission.problem} />`;
}

/** @param {{ mail: MailRecord, onSent: () => void }} props */
function MailRow({ mail, onSent }) {
  const hasFailed = FAILED.includes(mail.status) || mail.bounced_at;
  return html`<tr>
    <th scope="row">${formatInstant(mail.queued_at, ZONE)}${mail.resend_of_id && html`<span class="cell-note">sent again</span>`}</th>
    <td data-name="Kind">${readable(mail.kind)}</td>
    <td data-name="Home">${mail.household_id ? html`<a href=${`/households/${mail.household_id}`}>${mail.household_reference ?? "Home"}</a>` : "none"}${mail.person && html`<span class="cell-note">${mail.person}</span>`}</td>
    <td data-name="Status"><span class=${hasFailed ? "overdue" : ""}>${mail.bounced_at ? "Bounced" : readable(mail.status)}</span>${mail.reason && html`<span class="cell-note">${mail.reason}</span>`}</td>
    <td data-name="Sent">${mail.sent_at ? formatInstant(mail.sent_at, ZONE) : "not sent"}</td>
    <td data-name="Tries" class="number">${mail.attempts}</td>
    <td data-name="Again">${mail.can_resend ? html`<${Resend} mail=${mail} onSent=${onSent} />` : html`<span class="unseen">not possible</span>`}</td>
  </tr>`;
}

/** E-mail. */
export function MailPage() {
  const params = new URLSearchParams(url.value.split("?")[1] ?? "");
  const filters = { status: params.get("status") ?? "", kind: params.get("kind") ?? "" };
  const page = Math.max(1, Number(params.get("page")) || 1);
  const isProblem = filters.status === PROBLEM;
  const mail = useResource((reading) => listMail({
    status: isProblem ? "" : filters.status, problem: isProblem ? "true" : "", kind: filters.kind, sort: filters.status ? "" : "problems", page,
  }, reading), [filters.status, filters.kind, page]);
  return html`<${Page} title="E-mail" class="page-admin" lead="What was sent for which home, and what became of it: what did not arrive stands first. Neither the address nor the text is shown here."
    actions=${html`${session.value?.demo_mail && html`<a class="button" href="/demo/mail" data-outside>Open the demo mailbox</a>`}
      <a class="button" href="/duty">Whom to ring</a><button type="button" class="button" onClick=${mail.reload}>Look again</button>`}>
    <div class="filters"><${Field} spec=${STATUS} value=${filters.status} onInput=${(/** @type {string} */ value) => adjust(hrefOf({ ...filters, status: value }, 1))} />
      <${Field} spec=${KIND} value=${filters.kind} onInput=${(/** @type {string} */ value) => adjust(hrefOf({ ...filters, kind: value }, 1))} /></div>
    <${Loaded} of=${mail} lines=${6} size="line">${(/** @type {MailList} */ { items, total, page_size: size }) =>
      items.length === 0
        ? html`<${Empty} title=${filters.status || filters.kind ? "No e-mail is like this" : "No e-mail has been queued yet"}>
            <p>${filters.status || filters.kind ? html`<a href="/mail">Show all</a>` : "When charging times move or a recheck falls due, the messages appear here."}</p></${Empty}>`
        : html`<div class="table-box" tabindex="0" role="region" aria-label="Table of e-mails"><table class="table stacking dense">
            <thead><tr><th scope="col">Queued</th><th scope="col">Kind</th><th scope="col">Home</th><th scope="col">Status</th><th scope="col">Sent</th><th scope="col" class="number">Tries</th><th scope="col">Again</th></tr></thead>
            <tbody>${items.map((one) => html`<${MailRow} key=${one.id} mail=${one} onSent=${mail.reload} />`)}</tbody></table></div>
          <${Pager} page=${page} pageSize=${size ?? PAGE_SIZE} total=${total} noun="e-mails" hrefOf=${(/** @type {number} */ to) => hrefOf(filters, to)} />`
    }</${Loaded}>
  </${Page}>`;
}
