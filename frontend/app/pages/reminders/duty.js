/** Ring them: people whom a safety notice has not reached, what they were told and when, and what came of the call. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { listRaised, ringNotice } from "../../api/reminders.js";
import { Details } from "../../components/details.js";
import { Empty } from "../../components/empty.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { Pager } from "../../components/pager.js";
import { SpecForm } from "../../components/spec_form.js";
import { formatInstant } from "../../lib/time.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { url } from "../../state/router.js";
import { useSubmission } from "../../state/submission.js";
import { NoticeText } from "./notice_words.js";

/** @typedef {import("../../api/types.d.ts").RaisedNotice} RaisedNotice */
/** @typedef {import("../../api/types.d.ts").Paged<RaisedNotice>} RaisedList */

const ZONE = "Europe/London";
/** @type {import("../../lib/form_values.js").FieldSpec[]} */
const FIELDS = [{ name: "note", label: "What came of it", kind: "text", hint: "For example: spoke to her, the car is unplugged. Note it once you have reached somebody; until then the person stays on the list." }];

/** @param {{ notice: RaisedNotice, onSaved: () => void, onCancel: () => void }} props */
function RingForm({ notice, onSaved, onCancel }) {
  const submission = useSubmission();
  const save = (/** @type {import("../../lib/form_values.js").FormValues} */ values) => submission.run(async (key) => {
    await ringNotice(notice.id, String(values.note), key);
    say(`Noted that ${notice.person} was rung.`);
    onSaved();
  });
  return html`<${SpecForm} fields=${FIELDS} start=${{ note: "" }} action="Note the call" submission=${submission} onSubmit=${save} onCancel=${onCancel} />`;
}

/** @param {{ notice: RaisedNotice }} props */
function Outcome({ notice }) {
  if (notice.rung_at) return html`<p>Rung ${formatInstant(notice.rung_at, ZONE)} by ${notice.rung_by ?? "somebody who has left"}${notice.rung_note && html`: ${notice.rung_note}`}</p>`;
  return html`<p>Read ${formatInstant(notice.read_at ?? notice.raised_at, ZONE)}, before anybody rang.</p>`;
}

/** @param {{ notice: RaisedNotice, onSaved: () => void }} props */
function CallCard({ notice, onSaved }) {
  const [isOpen, setOpen] = useState(false);
  const isDone = Boolean(notice.rung_at || notice.read_at);
  const number = notice.telephone.replace(/[^+0-9]/g, "");
  return html`<article class="card" aria-labelledby=${`call-${notice.id}`}>
    <h2 id=${`call-${notice.id}`}>${notice.person}, <a href=${`/households/${notice.household_id}`}>${notice.reference}</a></h2>
    <p>${number ? html`<a class="button button-main" href=${`tel:${number}`}>Ring ${notice.telephone}</a>` : html`<strong>No number is known.</strong> Ask others of the home, or go there.`}</p>
    <p>${notice.subject}. Told ${formatInstant(notice.told_at, ZONE)}; ${notice.raised_why}.</p>
    <${Details} summary="What they were told">${() => html`<${NoticeText} text=${notice.text} />`}</${Details}>
    ${isDone ? html`<${Outcome} notice=${notice} />` : isOpen
      ? html`<${RingForm} notice=${notice} onSaved=${onSaved} onCancel=${() => setOpen(false)} />`
      : html`<div class="form-actions"><button type="button" class="button" onClick=${() => setOpen(true)}>I have rung<span class="unseen"> ${notice.person}</span></button></div>`}
  </article>`;
}

/** Duty: whom to ring now, and whom somebody has rung. */
export function DutyPage() {
  const params = new URLSearchParams(url.value.split("?")[1] ?? "");
  const isRung = params.get("rung") === "true";
  const page = Math.max(1, Number(params.get("page")) || 1);
  const raised = useResource((reading) => listRaised({ rung: isRung, page }, reading), [isRung, page]);
  const hrefOf = (/** @type {number} */ to) => `/duty?${isRung ? "rung=true&" : ""}page=${to}`;
  return html`<${Page} title="Ring them" class="page-admin" lead="A safety notice to each of these people is unread for 24 hours, or its mail did not arrive. A call is the only way left to be sure."
    actions=${html`<a class="button" href=${isRung ? "/duty" : "/duty?rung=true"}>${isRung ? "Whom to ring" : "Calls made"}</a><button type="button" class="button" onClick=${raised.reload}>Look again</button>`}>
    <${Loaded} of=${raised} lines=${2} size="card">${(/** @type {RaisedList} */ { items, total, page_size: size }) => items.length === 0
      ? html`<${Empty} title=${isRung ? "No call has been noted yet" : "Nobody has to be rung"}><p>${isRung ? html`<a href="/duty">Whom to ring</a>` : "Every safety notice was read, or is less than a day old and on its way."}</p></${Empty}>`
      : html`${items.map((notice) => html`<${CallCard} key=${notice.id} notice=${notice} onSaved=${raised.reload} />`)}
        ${total > items.length && html`<${Pager} page=${page} pageSize=${size ?? 50} total=${total} noun="people" hrefOf=${hrefOf} />`}`}</${Loaded}>
  </${Page}>`;
}
