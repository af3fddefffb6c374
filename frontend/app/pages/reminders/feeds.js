/** Calendars by a secret address: made, copied once, revoked. */
import { html } from "htm/preact";
import { useState } from "preact/hooks";
import { listFeeds, makeFeed, revokeFeed } from "../../api/reminders.js";
import { Loaded } from "../../components/loaded.js";
import { ProblemNote } from "../../components/problem_note.js";
import { formatInstant } from "../../lib/time.js";
import { askConfirm } from "../../state/confirm.js";
import { say } from "../../state/notices.js";
import { useResource } from "../../state/resource.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/types.d.ts").Feed} Feed */

const ZONE = "Europe/London";
const KIND_WORDS = { rechecks: "What falls due", plan: "Charging times" };

/** @param {{ address: string }} props */
function NewAddress({ address }) {
  const copy = async () => {
    await navigator.clipboard.writeText(address);
    say("The address is copied.");
  };
  return html`<div class="note" role="status"><p class="note-title">Add this address to your calendar now: it is shown this once</p>
    <p class="secret-address"><code>${address}</code></p>
    <p class="small">Whoever has it can read the calendar. It holds no address of the home and no journey.</p>
    ${"clipboard" in navigator && html`<button type="button" class="button" onClick=${copy}>Copy the address</button>`}</div>`;
}

/** @param {{ feed: Feed, onChange: () => void }} props */
function FeedRow({ feed, onChange }) {
  const submission = useSubmission();
  const revoke = async () => {
    const isSure = await askConfirm({ title: "End this calendar?", text: "Its address stops working for good, on every device that reads it.", action: "End it" });
    if (isSure && (await submission.run(async (key) => void (await revokeFeed(feed.id, key))))) onChange();
  };
  return html`<li class="row-item"><div><p><strong>${KIND_WORDS[feed.kind]}</strong>, made ${formatInstant(feed.made_at, ZONE)}</p>
      <${ProblemNote} problem=${submission.problem} /></div>
    <button type="button" class="button button-quiet" disabled=${submission.isBusy} onClick=${revoke}>End it<span class="unseen">: ${KIND_WORDS[feed.kind]}, made ${formatInstant(feed.made_at, ZONE)}</span></button></li>`;
}

/** @param {{ hasHome: boolean }} props */
export function Feeds({ hasHome }) {
  const feeds = useResource((reading) => listFeeds(reading), []);
  const submission = useSubmission();
  const [address, setAddress] = useState("");
  const make = (/** @type {Feed["kind"]} */ kind) => submission.run(async (key) => {
    const { data } = await makeFeed(kind, key);
    setAddress(data.url);
    feeds.reload();
  });
  return html`<section class="card" aria-labelledby="feeds-title">
    <h2 id="feeds-title">In your calendar</h2>
    <p>Your calendar program can read ${hasHome ? "what falls due, or the charging times that hold now" : "what falls due in every home, by its reference"}.</p>
    ${address && html`<${NewAddress} address=${address} />`}
    <${ProblemNote} problem=${submission.problem} takesFocus />
    <div class="form-actions">
      <button type="button" class="button" disabled=${submission.isBusy} onClick=${() => make("rechecks")}>Make a calendar of what falls due</button>
      ${hasHome && html`<button type="button" class="button" disabled=${submission.isBusy} onClick=${() => make("plan")}>Make a calendar of charging times</button>`}
    </div>
    <${Loaded} of=${feeds} lines=${1} size="line">${(/** @type {{ items: Feed[] }} */ { items }) => html`<ul class="row-list">${items
      .filter(({ revoked_at: at }) => at === null).map((feed) => html`<${FeedRow} key=${feed.id} feed=${feed} onChange=${feeds.reload} />`)}</ul>`}</${Loaded}>
  </section>`;
}
