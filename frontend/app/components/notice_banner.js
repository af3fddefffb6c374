/** Above every page while a safety notice is unread: what it is about, and the way to it. */
import { html } from "htm/preact";
import { useEffect } from "preact/hooks";
import { url } from "../state/router.js";
import { session } from "../state/session.js";
import { lookForNotices, unread } from "../state/unread.js";

const LOOK_EVERY_MS = 60_000;

/** Nothing while there is nothing to read, or on the page that shows it all. */
export function NoticeBanner() {
  // Finance reads nothing of homes, so no notice is for it.
  const isReader = session.value?.roles.some((role) => role !== "finance");
  const who = (isReader && session.value?.account.email) || "";
  useEffect(() => {
    unread.value = [];
    if (!who) return undefined;
    lookForNotices();
    const timer = setInterval(lookForNotices, LOOK_EVERY_MS);
    return () => clearInterval(timer);
  }, [who]);
  if (!who || unread.value.length === 0 || url.value.split("?")[0] === "/notices") return null;
  const [first] = unread.value;
  const count = unread.value.length;
  return html`<aside class="note note-stop notice-banner" aria-label="Unread safety notices">
    <p class="note-title">${first.subject}</p>
    <p><a class="button button-main" href="/notices">${count === 1 ? "Read the notice" : `Read ${count} notices`}</a></p>
  </aside>`;
}
