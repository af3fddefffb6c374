/** Safety notices: what the reader was told, what to do first, and that they have read it. */
import { html } from "htm/preact";
import { listNotices, readNotice } from "../../api/reminders.js";
import { Empty } from "../../components/empty.js";
import { Loaded } from "../../components/loaded.js";
import { Page } from "../../components/page.js";
import { Pager } from "../../components/pager.js";
import { ProblemNote } from "../../components/problem_note.js";
import { formatInstant } from "../../lib/time.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { url } from "../../state/router.js";
import { session } from "../../state/session.js";
import { useSubmission } from "../../state/submission.js";
import { lookForNotices } from "../../state/unread.js";
import { NoticeText } from "./notice_words.js";

/** @typedef {import("../../api/types.d.ts").SafetyNotice} SafetyNotice */
/** @typedef {import("../../api/types.d.ts").Paged<SafetyNotice>} NoticeList */

const ZONE = "Europe/London";

/** @param {{ notice: SafetyNotice, onRead: () => void }} props */
function NoticeCard({ notice, onRead }) {
  const submission = useSubmission();
  const read = () => submission.run(async (key) => {
    await readNotice(notice.id, key);
    say("Noted that you have read it.");
    await lookForNotices();
    onRead();
  });
  const isAdministrator = session.value?.roles.includes("administrator");
  return html`<article class=${`card ${notice.read_at ? "" : "card-stop"}`} aria-labelledby=${`notice-${notice.id}`}>
    <h2 id=${`notice-${notice.id}`}>${notice.subject}</h2>
    <p class="small">Told ${formatInstant(notice.told_at, ZONE)}${notice.read_at ? html`; read ${formatInstant(notice.read_at, ZONE)}` : html`; <strong>unread</strong>`}</p>
    <${NoticeText} text=${notice.text} />
    <${ProblemNote} problem=${submission.problem} takesFocus />
    <div class="form-actions">
      ${!notice.read_at && html`<button type="button" class="button button-main" disabled=${submission.isBusy} onClick=${read}>I have read this<span class="unseen">: ${notice.subject}</span></button>`}
      ${isAdministrator ? html`<a class="button" href=${`/households/${notice.household_id}`}>Open the home</a>` : html`<a class="button" href="/outlets">See how it stands</a>`}
    </div>
  </article>`;
}

/** Safety notices, the newest first. */
export function NoticesPage() {
  const page = Math.max(1, Number(new URLSearchParams(url.value.split("?")[1] ?? "").get("page")) || 1);
  const notices = useResource((reading) => listNotices({ page }, reading), [page]);
  return html`<${Page} title="Safety notices" class="page-member" lead="These cannot be turned off. One that is unread for 24 hours, or whose mail did not arrive, is followed by a telephone call.">
    <${Loaded} of=${notices} lines=${2} size="card">${(/** @type {NoticeList} */ { items, total, page_size: size }) => items.length === 0
      ? html`<${Empty} title="You have no safety notices"><p>If charging is stopped in a home that concerns you, it is said here and by e-mail at once.</p></${Empty}>`
      : html`${items.map((notice) => html`<${NoticeCard} key=${notice.id} notice=${notice} onRead=${notices.reload} />`)}
        ${total > items.length && html`<${Pager} page=${page} pageSize=${size ?? 50} total=${total} noun="notices" hrefOf=${(/** @type {number} */ to) => `/notices?page=${to}`} />`}`}</${Loaded}>
  </${Page}>`;
}
