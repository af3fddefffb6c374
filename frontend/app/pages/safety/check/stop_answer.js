/** The stop answer: first and large what to do now, then what is stopped, what lifts it, and who is told. */
import { html } from "htm/preact";
import { useEffect, useRef } from "preact/hooks";
import { PhoneLine } from "../../../components/phone_line.js";
import { ProblemNote } from "../../../components/problem_note.js";

/** @typedef {import("../../../api/check_types.d.ts").StopAnswerShown} StopAnswerShown */
/** @typedef {ReturnType<typeof import("./use_stop.js").useStop>} Stop */

/** @param {{ answer: StopAnswerShown, stop: Stop }} props */
function Sending({ answer, stop: { submission, retry } }) {
  if (submission.problem?.status === 0) {
    return html`<div class="note note-stop" role="alert"><p class="note-title">Not sent yet: there is no connection</p>
      <p>Nobody has been told so far. It is kept on this device and sent as soon as there is a connection while this page is open. Tell the others at home yourself.</p>
      <button type="button" class="button" onClick=${retry}>Send it now</button></div>`;
  }
  if (submission.problem) return html`<${ProblemNote} problem=${submission.problem} retry=${answer.unsent ? retry : undefined} />`;
  if (submission.isBusy) return html`<p role="status">Sending your report…</p>`;
  if (answer.isRecorded === false) {
    return html`<div class="note note-stop" role="alert"><p class="note-title">This report is not recorded</p>
      <p>Nobody has been told. <a href="/incident">Report it again</a>, and tell the others at home yourself.</p></div>`;
  }
  return html`<p role="status">Your report is recorded. Charging is stopped in the plan.</p>`;
}

/** @param {{ stopped: StopAnswerShown["stopped"] }} props */
function Stopped({ stopped }) {
  if (stopped.length === 0) return null;
  const names = [...new Set(stopped.map(({ label }) => label))];
  return html`<section aria-labelledby="what-is-stopped"><h3 id="what-is-stopped">What is stopped</h3>
      <ul>${names.map((name) => html`<li key=${name}>${name}</li>`)}</ul></section>
    <section aria-labelledby="what-lifts-it"><h3 id="what-lifts-it">What lifts it</h3>
      <ul>${stopped.map(({ label, kind, lifts }) => html`<li key=${kind + label + lifts}><strong>${label}:</strong> ${lifts}</li>`)}</ul></section>`;
}

/** @param {{ isRead: boolean, onRead: () => void }} props */
function Reading({ isRead, onRead }) {
  return isRead
    ? html`<p role="status">Noted that you have read it.</p>`
    : html`<div class="form-actions"><button type="button" class="button button-main" onClick=${onRead}>I have read this</button></div>`;
}

/** @param {{ answer: StopAnswerShown }} props */
export function DoNow({ answer }) {
  const heading = useRef(/** @type {HTMLHeadingElement | null} */ (null));
  useEffect(() => heading.current?.focus(), []);
  return html`<section class="do-now" aria-labelledby="do-now">
      <h2 id="do-now" ref=${heading} tabindex="-1">Do this now</h2>
      <ol>${answer.doNow.map((line) => html`<li key=${line}><${PhoneLine} line=${line} emergency=${answer.emergency} /></li>`)}</ol>
    </section>`;
}

/** @param {{ answer: StopAnswerShown, stop: Stop }} props */
export function StopAnswer({ answer, stop }) {
  return html`<div class="stop-answer">
    <${DoNow} answer=${answer} />
    <${Sending} answer=${answer} stop=${stop} />
    <${Reading} isRead=${answer.isRead} onRead=${stop.read} />
    <div class="card stop-more">
      <p>Reported: ${answer.seen.join("; ")}</p>
      <${Stopped} stopped=${answer.stopped} />
      <section aria-labelledby="who-is-told"><h3 id="who-is-told">Who is told</h3>
        <p>Every driver of your home, the scheme's administrators and its duty contact. Your plan has no charging time there from now on.
          A timer that is set in the car goes on by itself: cancel it there.</p></section>
      <p>This answer stays on this device: <a href="/stop-answer">what to do now</a>. How everything stands: <a href="/outlets">is it safe to use?</a></p>
      <p class="small">Reported by mistake? Ask your scheme's safety officer to withdraw it; both the report and the reason are kept. <a href="/reports">What was reported</a></p>
    </div>
  </div>`;
}
