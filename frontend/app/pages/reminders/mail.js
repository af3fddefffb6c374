/** The delivery record: which e-mail went to which home, and what became of it. */
import { html } from "htm/preact";
import { listMail } from "../../api/reminders.js";
import { Empty } from "../../components/empty.js";
import { Field } from "../../components/field.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { Pager } from "../../components/pager.js";
import { formatInstant } from "../../lib/time.js";
import { readable } from "../../lib/wording.js";
import { adjust, url } from "../../state/router.js";
import { useResource } from "../../state/resource.js";
import { session } from "../../state/session.js";

/** @typedef {import("../../api/types.d.ts").MailRecord} MailRecord */
/** @typedef {import("../../api/types.d.ts").Paged<MailRecord>} MailList */

const PAGE_SIZE = 50;
const ZONE = "Europe/London";
const STATUSES = ["waiting", "claimed", "sent", "refused", "given_up", "unknown", "suppressed"];

/** @type {import("../../lib/form_values.js").FieldSpec} */
const STATUS = {
  name: "status", label: "Status", kind: "select",
  options: [{ value: "", label: "Any" }, ...STATUSES.map((value) => ({ value, label: readable(value) }))],
};

/**
 * @param {string} status
 * @param {number} page
 * @returns {string}
 */
function hrefOf(status, page) {
  const params = new URLSearchParams();
  if (status) params.set("status", status);
  if (page > 1) params.set("page", String(page));
  const text = params.toString();
  return `/mail${text && `?${text}`}`;
}

/** @param {{ mail: MailRecord }} props */
function MailRow({ mail }) {
  return html`<tr>
    <th scope="row">${formatInstant(mail.queued_at, ZONE)}</th>
    <td data-name="Kind">${readable(mail.kind)}</td>
    <td data-name="Home">${mail.household_id ? html`<a href=${`/households/${mail.household_id}`}>${mail.household_reference ?? "Home"}</a>` : "none"}</td>
    <td data-name="Status">${readable(mail.status)}${mail.reason && html`<span class="cell-note">${mail.reason}</span>`}</td>
    <td data-name="Sent">${mail.sent_at ? formatInstant(mail.sent_at, ZONE) : "not sent"}</td>
    <td data-name="Tries" class="number">${mail.attempts}</td>
  </tr>`;
}

/** E-mail. */
export function MailPage() {
  const params = new URLSearchParams(url.value.split("?")[1] ?? "");
  const status = params.get("status") ?? "";
  const page = Math.max(1, Number(params.get("page")) || 1);
  const mail = useResource((reading) => listMail({ status, page }, reading), [status, page]);
  return html`<${Page} title="E-mail" class="page-admin" lead="What was sent for which home, and what became of it. Neither the recipient nor the text is shown here."
    actions=${html`${session.value?.demo_mail && html`<a class="button" href="/demo/mail" data-outside>Open the demo mailbox</a>`}
      <button type="button" class="button" onClick=${mail.reload}>Look again</button>`}>
    <div class="filters"><${Field} spec=${STATUS} value=${status} onInput=${(/** @type {string} */ value) => adjust(hrefOf(value, 1))} /></div>
    <${Loaded} of=${mail} lines=${6} size="line">${(/** @type {MailList} */ { items, total, page_size: size }) =>
      items.length === 0
        ? html`<${Empty} title=${status ? "No e-mail has this status" : "No e-mail has been queued yet"}>
            <p>${status ? html`<a href="/mail">Show all</a>` : "When charging times move or a recheck falls due, the messages appear here."}</p></${Empty}>`
        : html`<div class="table-box" tabindex="0" role="region" aria-label="Table of e-mails"><table class="table stacking dense">
            <thead><tr><th scope="col">Queued</th><th scope="col">Kind</th><th scope="col">Home</th><th scope="col">Status</th><th scope="col">Sent</th><th scope="col" class="number">Tries</th></tr></thead>
            <tbody>${items.map((one) => html`<${MailRow} key=${one.id} mail=${one} />`)}</tbody></table></div>
          <${Pager} page=${page} pageSize=${size ?? PAGE_SIZE} total=${total} noun="e-mails" hrefOf=${(/** @type {number} */ to) => hrefOf(status, to)} />`
    }</${Loaded}>
  </${Page}>`;
}
