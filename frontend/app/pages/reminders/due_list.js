/** What falls due in a member's home: when, by which rule and whose word, and where it is done. */
import { html } from "htm/preact";
import { completeRecheck } from "../../api/safety.js";
import { Empty } from "../../components/empty.js";
import { ProblemNote } from "../../components/problem_note.js";
import { dueWords } from "../../lib/due_words.js";
import { formatDate, localDay } from "../../lib/time.js";
import { askConfirm } from "../../state/confirm.js";
import { say } from "../../state/notices.js";
import { useSubmission } from "../../state/submission.js";

/** @typedef {import("../../api/types.d.ts").Household} Household */
/** @typedef {import("../../api/types.d.ts").Recheck} Recheck */

const ACTS = { check: { href: "/check", label: "Make the check" }, inspection: { href: "/outlets", label: "Ask for a visit" }, remedy: { href: "/outlets", label: "Ask for a visit" } };
const TASK_WORDS = { check: "your check", inspection: "an electrician's inspection", remedy: "work that a report calls for", button: "press the test button", other: "an agreed date" };

/** @param {{ home: Household, recheck: Recheck, onChange: () => void }} props */
function PressedButton({ home, recheck, onChange }) {
  const submission = useSubmission();
  const today = localDay(Date.now(), home.zone);
  const press = async () => {
    const isSure = await askConfirm({
      title: "Did it switch off?", text: "Press T on the device at the board. It must switch off at once; then switch it on again. If it did not, say No and report it: the circuit must not be used.",
      action: "Yes, it switched off", stay: "No",
    });
    if (isSure && (await submission.run(async (key) => void (await completeRecheck(home.id, recheck.id, today, key))))) {
      say("Noted. It falls due again in six months.");
      onChange();
    }
  };
  return html`<${ProblemNote} problem=${submission.problem} /><button type="button" class="button" disabled=${submission.isBusy} onClick=${press}>I pressed it today<span class="unseen">: ${recheck.item_label}</span></button>`;
}

/** @param {{ home: Household, onChange: () => void }} props */
export function DueList({ home, onChange }) {
  const today = localDay(Date.now(), home.zone);
  const open = home.rechecks.filter(({ done_on: on }) => on === null).sort((left, right) => left.due_on.localeCompare(right.due_on));
  return html`<section class="card" aria-labelledby="due-title"><h2 id="due-title">What falls due</h2>
    ${open.length === 0 && html`<${Empty} title="Nothing falls due"><p>Dates come from inspections and checks. Without one recorded, whether it is safe to charge is not known: see <a href="/outlets">Safe to use?</a></p></${Empty}>`}
    <ul class="row-list">${open.map((recheck) => {
      const act = recheck.task in ACTS ? ACTS[/** @type {keyof typeof ACTS} */ (recheck.task)] : null;
      return html`<li key=${recheck.id} class="row-item"><div>
          <p><strong>${recheck.item_label || "A protective device"}</strong>: ${TASK_WORDS[recheck.task]}</p>
          <p class=${recheck.due_on < today ? "overdue" : ""}>${[formatDate(recheck.due_on), dueWords(recheck.due_on, today)].filter(Boolean).join(", ")}</p>
          <p class="small">${recheck.rule}${recheck.source && html` (${recheck.source})`}${recheck.is_claimed && html`. <strong>Claimed: its document is missing</strong>`}</p></div>
        ${act ? html`<a class="button" href=${act.href}>${act.label}<span class="unseen">: ${recheck.item_label}</span></a>` : recheck.task === "button" && html`<div><${PressedButton} home=${home} recheck=${recheck} onChange=${onChange} /></div>`}
      </li>`;
    })}</ul></section>`;
}
