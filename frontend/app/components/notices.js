/** The short messages at the foot of the window. */
import { html } from "htm/preact";
import { dropNotice, notices } from "../state/notices.js";

/** @param {{ notice: import("../state/notices.js").Notice }} props */
function NoticeItem({ notice }) {
  const { id, text, action } = notice;
  const run = () => {
    dropNotice(id);
    action?.run();
  };
  return html`<div class="notice">
    <span>${text}</span>
    ${action && html`<button type="button" class="button" onClick=${run}>${action.label}</button>`}
    <button type="button" class="button button-quiet" onClick=${() => dropNotice(id)}>Close<span class="unseen"> this message</span></button>
  </div>`;
}

/** A polite live region; empty most of the time. */
export function Notices() {
  return html`<div class="notices" role="status" aria-live="polite">
    ${notices.value.map((notice) => html`<${NoticeItem} key=${notice.id} notice=${notice} />`)}
  </div>`;
}
