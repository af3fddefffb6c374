/** The end of a check without a sign: what stays open, saving it, and what was recorded. */
import { html } from "htm/preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { Field } from "../../../components/field.js";
import { ProblemNote } from "../../../components/problem_note.js";
import { fieldFault } from "../../../lib/problem.js";

/** @typedef {import("../../../api/check_types.d.ts").Question} Question */

/**
 * @param {{
 *   about: string,
 *   open: Question[],
 *   submission: import("../../../state/submission.js").Submission,
 *   onAgain: (question: string) => void,
 *   onSave: (note: string) => void,
 * }} props open: answered with "I do not know"
 */
export function CheckReview({ about, open, submission, onAgain, onSave }) {
  const [note, setNote] = useState("");
  const heading = useRef(/** @type {HTMLHeadingElement | null} */ (null));
  useEffect(() => heading.current?.focus(), []);
  return html`<section class="card check-card" aria-labelledby="review">
    <h2 id="review" ref=${heading} tabindex="-1">${open.length === 0 ? "No sign so far" : "Not known yet"}</h2>
    <p>${about}: ${open.length === 0 ? "no answer found a sign." : "no answer found a sign, but these are open. A check with an open answer does not count yet."}</p>
    ${open.length > 0 && html`<ul>${open.map(({ question, words }) => html`<li key=${question}>${words}
      <button type="button" class="button button-quiet" onClick=${() => onAgain(question)}>Answer again<span class="unseen">: ${words}</span></button></li>`)}</ul>`}
    <${ProblemNote} problem=${submission.problem} takesFocus />
    <${Field} spec=${{ name: "note", label: "Anything to add (may stay empty)", kind: "long" }} value=${note} onInput=${setNote} fault=${fieldFault(submission.problem, "note")} />
    <div class="form-actions"><button type="button" class="button button-main" disabled=${submission.isBusy} onClick=${() => onSave(note)}>Save the check</button></div>
  </section>`;
}

/** @param {{ about: string, isClear: boolean, onAgain: () => void }} props */
export function CheckSaved({ about, isClear, onAgain }) {
  const heading = useRef(/** @type {HTMLHeadingElement | null} */ (null));
  useEffect(() => heading.current?.focus(), []);
  return html`<section class="card check-card" aria-labelledby="saved">
    <h2 id="saved" ref=${heading} tabindex="-1">${isClear ? "Recorded: no sign" : "Recorded: not complete"}</h2>
    <p>${about}. ${isClear
      ? "The check counts from now until it falls due again. It lifts no earlier report: each needs what is named beside it."
      : "Something is not known, so this check does not count. Look again when you can, or ask for an inspection."}</p>
    <div class="form-actions"><a class="button button-main" href="/outlets">Is it safe to use?</a>
      ${!isClear && html`<button type="button" class="button" onClick=${onAgain}>Check again</button>`}</div>
  </section>`;
}
