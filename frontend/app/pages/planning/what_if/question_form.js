/** Choose what would change, fill in how, compare. */
import { html } from "htm/preact";
import { useMemo, useState } from "preact/hooks";
import { compareHome } from "../../../api/what_ifs.js";
import { ChoiceGroup } from "../../../components/choice_group.js";
import { SpecForm } from "../../../components/spec_form.js";
import { bodyFor, faultFieldsOf, fieldsOf, QUESTION_WORDS, questionsFor, startOf } from "../../../lib/what_if_questions.js";
import { ownHouseholdId } from "../../../state/session.js";
import { useSubmission } from "../../../state/submission.js";

/** @typedef {import("../../../lib/what_if_questions.js").Known} Known */
/** @typedef {import("../../../lib/what_if_questions.js").Question} Question */
/** @typedef {(whatIf: import("../../../api/what_if_types.d.ts").WhatIf) => void} OnCompared */

/** @param {{ question: Question, known: Known, onCompared: OnCompared }} props */
function Entries({ question, known, onCompared }) {
  const fields = useMemo(() => fieldsOf(question, known), [question, known]);
  const start = useMemo(() => startOf(question, known), [question, known]);
  const submission = useSubmission();
  const compare = (/** @type {import("../../../lib/form_values.js").FormValues} */ values) => submission.run(async (key) => {
    const { data } = await compareHome(ownHouseholdId(), bodyFor(question, known, values), key);
    onCompared(data);
  });
  return html`<${SpecForm} fields=${fields} start=${start} action="Compare" submission=${submission} onSubmit=${compare}
    faultFields=${faultFieldsOf(question)} isGuarded=${false} />`;
}

/** @param {{ known: Known, onCompared: OnCompared }} props */
export function QuestionForm({ known, onCompared }) {
  const [question, setQuestion] = useState(/** @type {Question | ""} */ (""));
  const options = questionsFor(known).map((value) => ({ value, label: QUESTION_WORDS[value] }));
  return html`<section class="card" aria-label="What would change">
    <${ChoiceGroup} spec=${{ name: "question", label: "What would change?", kind: "select", options }} value=${question}
      onInput=${(/** @type {string} */ value) => setQuestion(/** @type {Question} */ (value))} />
    ${question && html`<${Entries} key=${question} question=${question} known=${known} onCompared=${onCompared} />`}
  </section>`;
}
