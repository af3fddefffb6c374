/** One question of the check at a time, with answers the size of a thumb. */
import { html } from "htm/preact";
import { useEffect, useRef } from "preact/hooks";
import { Progress } from "../../../components/progress.js";

/** @typedef {import("../../../api/check_types.d.ts").Question} Question */

/**
 * @param {{
 *   question: Question,
 *   about: string,
 *   place: number,
 *   total: number,
 *   onAnswer: (answer: string) => void,
 *   onBack: () => void,
 * }} props place: counted from 1
 */
export function CheckQuestion({ question, about, place, total, onAnswer, onBack }) {
  const heading = useRef(/** @type {HTMLHeadingElement | null} */ (null));
  useEffect(() => heading.current?.focus(), [question.question]);
  return html`<section class="card check-card" aria-labelledby="question">
    <${Progress} label=${about} done=${place - 1} total=${total} text=${`Question ${place} of ${total}`} />
    <h2 id="question" ref=${heading} tabindex="-1">${question.words}</h2>
    <div class="answers">${question.answers.map(({ answer, words }) => html`<button key=${answer} type="button" class="button answer" onClick=${() => onAnswer(answer)}>${words}</button>`)}</div>
    <button type="button" class="button button-quiet" onClick=${onBack}>Back</button>
  </section>`;
}
